"""What the desktop and a child process say to each other: one JSON object a line; and how a process answers."""

from __future__ import annotations

import json
import sys
import threading
import traceback
from collections.abc import Callable
from dataclasses import asdict, dataclass
from dataclasses import fields as dataclass_fields
from typing import Any, ClassVar, Generic, TextIO, TypeVar

from planner.errors import InputError

M = TypeVar("M")
R = TypeVar("R")


class Lines(Generic[M]):
    """Writes and reads messages of some kinds: frozen dataclasses, each with its own `kind`, lists kept as tuples."""

    def __init__(self, of: str, *kinds: type[Any]) -> None:
        self._of = of
        self._kinds: dict[str, type[Any]] = {one.kind: one for one in kinds}

    def to_line(self, message: M) -> str:
        """Return a message as one line of JSON, without the line end."""
        content: Any = message
        return json.dumps({"kind": content.kind, **asdict(content)}, ensure_ascii=True)

    def from_line(self, line: str) -> M:
        """Read one line; ValueError where it is no message of these kinds."""
        try:
            fields = json.loads(line)
            made = self._kinds[fields.pop("kind")]
            for one in dataclass_fields(made):
                if str(one.type).startswith("tuple") and isinstance(fields.get(one.name), list):
                    fields[one.name] = tuple(fields[one.name])
            message: M = made(**fields)
        except (json.JSONDecodeError, KeyError, TypeError, AttributeError) as error:
            raise ValueError(f"not a message of {self._of}: {line[:200]!r}") from error
        return message

    def read(self, line: str) -> M | None:
        """Read one line; None where it is no message of these kinds."""
        try:
            return self.from_line(line)
        except ValueError:
            return None


@dataclass(frozen=True)
class Halt:
    """Stop now and keep what was found."""

    kind: ClassVar[str] = "halt"
    run: int


class Stop:
    """Whether to stop: set from a watching thread when the asking side says so or has gone, read by the work."""

    def __init__(self, is_cancel: Callable[[str], bool]) -> None:
        self._event = threading.Event()
        self._is_cancel = is_cancel

    def __call__(self) -> bool:
        return self._event.is_set()

    def watch(self, stream: TextIO) -> None:
        """Read lines from now on in a thread of its own; the end of the stream counts as a cancel."""
        threading.Thread(target=self._watch, args=(stream,), daemon=True).start()

    def _watch(self, stream: TextIO) -> None:
        for line in stream:
            if self._is_cancel(line):
                break
        self._event.set()


def say_line(out: TextIO, line: str) -> None:
    """Write a line and push it on its way."""
    out.write(line + "\n")
    out.flush()


def answer_first(
    stdin: TextIO,
    stdout: TextIO,
    lines: Lines[M],
    request: type[R],
    cancel: type[Any],
    answer: Callable[[R, Stop, TextIO], M],
) -> int:
    """Answer the first line on `stdin`, which must be a `request`; return the exit code.

    Later a `cancel`, or the end of the stream, sets the `Stop`. What `answer` returns is said last, with code 0;
    code 2 where the line is no request.
    """
    asked = lines.read(stdin.readline())
    if not isinstance(asked, request):
        return 2
    stop = Stop(lambda line: isinstance(lines.read(line), cancel))
    stop.watch(stdin)
    say_line(stdout, lines.to_line(answer(asked, stop, stdout)))
    return 0


def failure(error: Exception) -> tuple[str, tuple[str, ...]]:
    """Return the outcome and the reasons of work that ended with `error`; the program's own go to stderr too.

    A pipe that broke is raised again: nobody listens any more.
    """
    if isinstance(error, BrokenPipeError):
        raise error
    if isinstance(error, InputError):
        return "bad-input", tuple(str(fault) for fault in error.faults)
    traceback.print_exception(error, file=sys.stderr)
    return "failed", (f"{type(error).__name__}: {error}",)


def run_process(serve: Callable[[TextIO, TextIO], int]) -> int:
    """Serve on the process's own streams; return the exit code."""
    try:
        return serve(sys.stdin, sys.stdout)
    except BrokenPipeError:
        return 0
