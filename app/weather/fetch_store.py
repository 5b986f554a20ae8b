"""Keeps the last answer of each address on the disk, with its record, so that its age can be shown; no Qt."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path

from planner.jobfile.write import save_bytes
from planner.weather.fetch_cache import CacheRecord, record_of


@dataclass(frozen=True)
class Kept:
    """An answer at hand: its bytes as they came, and its record."""

    data: bytes
    record: CacheRecord


class FetchStore:
    """One folder; two files an address."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def kept(self, url: str) -> Kept | None:
        """Return the answer at hand for an address; None where there is none that can be relied on."""
        data_file, record_file = self._files(url)
        try:
            fields = json.loads(record_file.read_text(encoding="utf-8"))
            data = data_file.read_bytes()
        except (OSError, ValueError):
            return None
        record = record_of(fields) if isinstance(fields, dict) else None
        if record is None or record.url != url or fields.get("digest") != _digest(data):
            return None
        return Kept(data, record)

    def keep(self, data: bytes, record: CacheRecord) -> None:
        """Put an answer in the place of the last one of its address; OSError where the disk refuses."""
        data_file, record_file = self._files(record.url)
        self._folder.mkdir(parents=True, exist_ok=True)
        save_bytes(data_file, data)
        fields = {**record.fields(), "digest": _digest(data)}
        save_bytes(record_file, json.dumps(fields, indent=1).encode())

    def _files(self, url: str) -> tuple[Path, Path]:
        name = _digest(url.encode())[:24]
        return self._folder / f"{name}.answer", self._folder / f"{name}.json"


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
