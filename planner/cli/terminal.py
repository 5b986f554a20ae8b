"""Writing to a terminal, file or pipe that may be narrow-minded about letters, or gone."""

from __future__ import annotations

import io
import os
from collections.abc import Iterable
from typing import TextIO


class Terminal:
    """One output stream; once its reader has gone, what is said is dropped.

    lost: why what was said could not be written, in words; None where all was, or where its reader went away.
    """

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = stream
        self._open = stream is not None
        self.lost: str | None = None
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a "°" must not end the program on an ASCII terminal

    def say(self, line: str) -> None:
        """Write one line, at once."""
        self.say_all([line])

    def say_all(self, lines: Iterable[str]) -> None:
        """Write lines."""
        if not self._open or self._stream is None:
            return
        try:
            for line in lines:
                _write(self._stream, line + "\n")
            self._stream.flush()
        except UnicodeEncodeError:
            raise
        except BrokenPipeError:
            self._close()
        except (OSError, ValueError) as error:
            self.lost = (error.strerror if isinstance(error, OSError) else None) or str(error)
            self._close()

    def _close(self) -> None:
        """Let go of the stream so that Python does not complain at exit about what could not be flushed."""
        self._open = False
        if not isinstance(self._stream, io.TextIOWrapper):
            return
        try:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, self._stream.fileno())
            os.close(nowhere)
        except (OSError, ValueError):
            return


def _write(stream: TextIO, text: str) -> None:
    """Write all of a text; an unbuffered stream drops, without a word, what a disk that fills up did not take."""
    if not isinstance(stream, io.TextIOWrapper) or not isinstance(stream.buffer, io.RawIOBase):
        stream.write(text)
        return
    left = text.replace("\n", os.linesep).encode(stream.encoding, stream.errors or "strict")
    while left:
        left = left[stream.buffer.write(left) or 0 :]
