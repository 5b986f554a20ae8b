"""What the desktop and a child process say to each other: one JSON object a line; and a watch on what comes in."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from dataclasses import asdict
from dataclasses import fields as dataclass_fields
from typing import Any, TextIO


class Lines:
    """Writes and reads messages of some kinds: frozen dataclasses, each with its own `kind`, lists kept as tuples."""

    def __init__(self, of: str, *kinds: type[Any]) -> None:
        self._of = of
        self._kinds: dict[str, type[Any]] = {one.kind: one for one in kinds}

    def to_line(self, message: Any) -> str:
        """Return a message as one line of JSON, without the line end."""
        return json.dumps({"kind": message.kind, **asdict(message)}, ensure_ascii=True)

    def from_line(self, line: str) -> Any:
        """Read one line; ValueError where it is no message of these kinds."""
        try:
            fields = json.loads(line)
            made = self._kinds[fields.pop("kind")]
            for one in dataclass_fields(made):
                if str(one.type).startswith("tuple") and isinstance(fields.get(one.name), list):
                    fields[one.name] = tuple(fields[one.name])
            return made(**fields)
        except (json.JSONDecodeError, KeyError, TypeError, AttributeError) as error:
            raise ValueError(f"not a message of {self._of}: {line[:200]!r}") from error


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
