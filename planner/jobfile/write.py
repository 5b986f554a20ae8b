"""Writing files so that nothing is lost: whole or not at all, comments kept, never over somebody else's change."""

from __future__ import annotations

import errno
import os
import re
import stat
import tempfile
import tomllib
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Item

from planner.errors import LiftgapError
from planner.jobfile.tables import TomlPath

_PRIVATE = 0o600


class FileChangedError(LiftgapError):
    """The file on disk is no longer what was read; `text` is what was to be saved, so that it can go elsewhere."""

    code = "changed-on-disk"

    def __init__(self, path: Path, text: str) -> None:
        self.path = path
        self.text = text
        super().__init__(f"{path} was changed by somebody else since it was read; nothing was written")


class CannotChangeError(LiftgapError):
    """A change names a place that the file does not have."""

    code = "no-such-place"


def save_text(path: Path | str, text: str, loaded_text: str | None = None) -> None:
    """Replace the file's content by `text`, wholly or not at all; its permissions stay.

    loaded_text: the content as it was read. Where given and the disk now holds something else (or nothing),
    FileChangedError is raised and the disk stays as it is. OSError where the disk refuses.
    """
    target = file_to_replace(path)
    if loaded_text is not None and _on_disk(target) != loaded_text.encode():
        raise FileChangedError(target, text)
    _replace(target, text.encode())


def save_bytes(path: Path | str, data: bytes) -> None:
    """Replace the file's content by `data`, wholly or not at all; OSError where the disk refuses."""
    _replace(file_to_replace(path), data)


def file_to_replace(path: Path | str) -> Path:
    """Return the file that writing to `path` replaces, links followed: there already, or new.

    Raises OSError, in words, for what is there and is no plain file: a new file in the place of a device or pipe
    would take it from every other program.
    """
    target = Path(os.path.realpath(path))
    try:
        mode = os.stat(path).st_mode  # of the path as given: "/dev/stdout" leads through a name that is no path
    except FileNotFoundError:
        return target
    if not stat.S_ISREG(mode):
        what = "a folder" if stat.S_ISDIR(mode) else "a device or pipe"
        raise OSError(errno.EINVAL, f"is {what}, not a file; nothing was written", str(path))
    return target


def write_changes(path: Path | str, changes: Mapping[TomlPath, Any], loaded_text: str | None = None) -> str:
    """Change values in a TOML file, keeping comments, order and layout; return the new text.

    changes: new value by path, e.g. {("closures", 2, "state"): "refused"}; None takes the key or list element
    away; a list's length as the last step adds at its end, and 0 begins a list of tables that is not there yet. A
    last step "+1", "+2", … adds to a list of tables in this order, however long it is by then.
    loaded_text: as for `save_text`; where it is left out, the file on disk is changed as it now stands. Raises
    CannotChangeError where a path leads nowhere.
    """
    text = loaded_text if loaded_text is not None else (_on_disk(Path(path)) or b"").decode()
    new_text = changed_text(text, changes)
    save_text(path, new_text, loaded_text)
    return new_text


def changed_text(text: str, changes: Mapping[TomlPath, Any]) -> str:
    """Return a TOML text with values changed as in `write_changes`."""
    added = _added(text, changes)
    if added is not None:
        return added
    document = tomlkit.parse(text)
    taken = [path for path, value in changes.items() if value is None]
    given = [path for path, value in changes.items() if value is not None]
    for path in (*sorted(given, key=_order), *sorted(taken, key=_order, reverse=True)):
        try:
            _change(document, path, changes[path])
        except (KeyError, IndexError, TypeError, ValueError, TOMLKitError) as error:
            raise CannotChangeError(f"no {'.'.join(map(str, path))} in the file to change") from error
    new_text = tomlkit.dumps(document)
    tomllib.loads(new_text)
    return new_text


def _added(text: str, changes: Mapping[TomlPath, Any]) -> str | None:
    """Return a text to which tables are only added at the end, so that not a letter of what stands there changes.

    None where something else is asked for, or where the list is written in a way that can't be gone on with there.
    """
    if not all(len(path) == 2 and _appends(path[1]) for path in changes):
        return None
    added = tomlkit.document()
    for path, value in sorted(changes.items(), key=lambda change: _order(change[0])):
        _change(added, path, value)
    line_end = "\r\n" if "\r\n" in text else "\n"
    new_text = f"{text.rstrip()}{line_end}{tomlkit.dumps(added).replace(chr(10), line_end)}"
    try:
        tomllib.loads(new_text)
    except tomllib.TOMLDecodeError:
        return None
    return new_text


def _order(path: TomlPath) -> tuple[tuple[int, str], ...]:
    """Numbers in order of size: list elements are added from the first on, and taken away from the last on."""
    return tuple((step, "") if isinstance(step, int) else (-1, step) for step in path)


def _change(document: Any, path: TomlPath, value: Any) -> None:
    holder, above = document, document
    for step, after in pairwise(path):
        if isinstance(step, str) and step not in holder:
            holder[step] = tomlkit.aot() if isinstance(after, int) or _appends(after) else tomlkit.table()
        holder, above = holder[step], holder
    last = path[-1]
    if _appends(last) and isinstance(holder, list) and value is not None:
        holder.append(_as_table(value) if isinstance(holder, AoT) else value)
    elif value is None:
        del holder[last]
        if isinstance(holder, AoT) and not len(holder):
            del above[path[-2]]  # an empty list of tables would be written as a line at the top
    elif isinstance(last, int) and last == len(holder):
        holder.append(_as_table(value) if isinstance(holder, AoT) else value)
    elif isinstance(last, int) and not 0 <= last < len(holder):
        raise IndexError(last)
    else:
        holder[last] = value


def _appends(step: str | int) -> bool:
    return isinstance(step, str) and re.fullmatch(r"\+\d+", step) is not None


def _as_table(value: Any) -> Any:
    """Return a new table of a list; plain tables in it go on one line each, those of tomlkit stay what they are."""
    if not isinstance(value, Mapping):
        raise TypeError("a list of tables holds tables only")
    table: Any = tomlkit.item(value)
    table.trivia.indent = "\n"
    for key, part in value.items():
        if isinstance(part, Mapping) and not isinstance(part, Item):
            table[key] = tomlkit.inline_table()
            table[key].update(part)
    return table


def _on_disk(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _replace(target: Path, data: bytes) -> None:
    """Write beside the target, push it to the disk, then let it take the target's place in one step.

    Where the disk refuses, the OSError names the target, not the file beside it.
    """
    try:
        _write_and_replace(target, data)
    except OSError as error:
        if error.filename is None:
            raise
        raise OSError(error.errno, error.strerror, str(target)) from error


def _write_and_replace(target: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, _mode(target))
        os.replace(name, target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _mode(target: Path) -> int:
    """Return the permissions of the file that is there, or those that a new file gets."""
    if target.exists():
        return target.stat().st_mode & 0o7777
    mask = os.umask(_PRIVATE)
    os.umask(mask)
    return 0o666 & ~mask


def _sync_folder(folder: Path) -> None:
    """Push the new name to the disk too, where the system lets a folder be opened."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
