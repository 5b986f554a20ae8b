"""The reading of a PLAN.json against its job: shape, names and times."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import fields, replace
from datetime import datetime
from typing import Any

from planner.errors import Fault
from planner.jobfile.json_lines import json_line_index
from planner.jobfile.lines import LineIndex
from planner.jobfile.suggest import did_you_mean, listed, shown
from planner.jobfile.tables import TomlPath, path_words
from planner.json_words import json_words
from planner.model import NO_WORTHS, Aim, Floors, Job, Placement, Plan, PlanStatus, Worths, in_one_direction
from planner.units import SLOT_MINUTES, Slot

_KEYS = ("liftgap_plan", "job", "status", "aim", "value", "bound", "placements", "closures_used")
_MORE_KEYS = ("then", "floors", "worths")
_PLACEMENT_KEYS = ("operation", "visit", "gang", "start", "finish", "closure", "alternative")
_MAY_LACK = ("closure", "alternative")
_MOST_VISITS = 10_000
_PLAN = "a plan as `liftgap plan --out` writes it"


class PlanReader:
    """Reads one plan for `job`; what is wrong with it gathers in `faults`."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.faults: list[Fault] = []
        self._lines = LineIndex({})
        self._table: dict[str, Any] = {}
        self._operations = operation_keys(job)
        self._gangs = [gang.id for gang in job.gangs]
        self._closures = [closure.id for closure in job.closures]

    def read_text(self, text: str) -> Plan | None:
        """Return the plan in a JSON text; None where there are faults."""
        try:
            data = json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_key_twice)
        except json.JSONDecodeError as error:
            self._fault("syntax", json_words(error), _PLAN, line=error.lineno)
            return None
        except (ValueError, RecursionError) as error:
            words = "brackets inside brackets without end" if isinstance(error, RecursionError) else str(error)[:80]
            self._fault("syntax", words, _PLAN)
            return None
        self._lines = json_line_index(text)
        return self.read(data)

    def read(self, data: Any) -> Plan | None:
        """Return the plan in JSON data; None where there are faults."""
        if not isinstance(data, dict):
            self._fault("wrong-kind", shown(data), "an object with the keys " + listed(_KEYS))
            return None
        self._table = data
        if not self._check_version(data):
            return None
        self._check_keys((), data, (*_KEYS, *_MORE_KEYS), _MORE_KEYS)
        self._check_job(data)
        status = self._one_of(data, "status", [status.value for status in PlanStatus])
        aim = self._one_of(data, "aim", [aim.value for aim in Aim])
        value, bound = self._figure(data, "value"), self._figure(data, "bound")
        placements = self._placements(data)
        self._check_twice(placements)
        self._check_closures_used(data, placements)
        then, floors, worths = self._then(data), self._floors(data), self._worths(data)
        if self.faults:
            return None
        made = Plan(self.job.job.name, PlanStatus(status), Aim(aim), value, bound, tuple(placements))
        return replace(made, then=then, floors=floors, worths=worths)

    def _then(self, data: dict[str, Any]) -> tuple[Aim, ...]:
        words, known = data.get("then", []), [aim.value for aim in Aim]
        if not isinstance(words, list) or any(word not in known for word in words):
            self._add("not-one-of", ("then",), shown(words), f"a list of {listed(known)}")
            return ()
        return tuple(Aim(word) for word in words)

    def _floors(self, data: dict[str, Any]) -> Floors | None:
        if "floors" not in data:
            return None
        table, names = data["floors"], [field.name for field in fields(Floors)]
        if not isinstance(table, dict):
            self._add("wrong-kind", ("floors",), shown(table), "an object")
            return None
        self._check_keys(("floors",), table, tuple(names), tuple(names))
        return Floors(**{name: self._figure(table, name) for name in names if name in table})

    def _worths(self, data: dict[str, Any]) -> Worths:
        table, names = data.get("worths", {}), [field.name for field in fields(Worths)]
        if not isinstance(table, dict):
            self._add("wrong-kind", ("worths",), shown(table), "an object")
            return NO_WORTHS
        self._check_keys(("worths",), table, tuple(names), tuple(names))
        try:
            return Worths(**{name: self._figure(table, name) for name in names if name in table})
        except ValueError as error:
            self._add("out-of-range", ("worths",), shown(table), str(error))
            return NO_WORTHS

    def _check_version(self, data: dict[str, Any]) -> bool:
        version = data.get("liftgap_plan")
        if version == 1 and not isinstance(version, bool):
            return True
        newer = isinstance(version, int) and version > 1
        hint = "This plan was made by a newer Liftgap: update Liftgap to read it." if newer else ""
        self._add("version", ("liftgap_plan",), shown(version), "version 1", hint)
        return False

    def _check_keys(
        self, path: TomlPath, table: dict[str, Any], keys: tuple[str, ...], optional: tuple[str, ...]
    ) -> None:
        for key in table:
            if key not in keys:
                self._add("unknown-key", (*path, key), f"the key {shown(key)}", listed(keys), did_you_mean(key, keys))
        for key in keys:
            if key not in table and key not in optional:
                self._add("missing-key", (*path, key), "nothing", f"{key} must be given")

    def _check_job(self, data: dict[str, Any]) -> None:
        name = data.get("job", self.job.job.name)
        if (in_one_direction(name) if isinstance(name, str) else name) != self.job.job.name:
            hint = "This plan belongs to another job, or the job was renamed."
            self._add("other-job", ("job",), shown(name), f"the job {shown(self.job.job.name)}", hint)

    def _one_of(self, data: dict[str, Any], key: str, choices: list[str]) -> str:
        word = data.get(key, choices[0])
        if word not in choices:
            self._add("not-one-of", (key,), shown(word), listed(choices), did_you_mean(word, choices))
        return str(word)

    def _figure(self, data: dict[str, Any], key: str) -> float:
        value = data.get(key, 0)
        if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) > 1e15 or math.isnan(value):
            self._add("wrong-kind", (key,), shown(value), "a number")
            return 0.0
        return float(value)

    def _placements(self, data: dict[str, Any]) -> list[Placement]:
        rows = data.get("placements", [])
        if not isinstance(rows, list):
            self._add("wrong-kind", ("placements",), shown(rows), "a list of placements")
            return []
        placements = []
        for number, row in enumerate(rows):
            path: TomlPath = ("placements", number)
            if isinstance(row, dict):
                placed = self._placement(path, row)
                if placed is not None:
                    placements.append(placed)
            else:
                self._add("wrong-kind", path, shown(row), "an object with the keys " + listed(_PLACEMENT_KEYS))
        return placements

    def _placement(self, path: TomlPath, row: dict[str, Any]) -> Placement | None:
        before = len(self.faults)
        self._check_keys(path, row, _PLACEMENT_KEYS, _MAY_LACK)
        operation = self._name(path, row, "operation", self._operations)
        gang = self._name(path, row, "gang", self._gangs)
        closure = self._name(path, row, "closure", self._closures) if row.get("closure") is not None else None
        visit = self._visit(path, row)
        start, finish = self._slot((*path, "start"), row), self._slot((*path, "finish"), row)
        alternative = self._alternative(path, row)
        if len(self.faults) > before or start is None or finish is None:
            return None
        if finish <= start:
            self._add("wrong-order", (*path, "finish"), shown(row["finish"]), f"a time after {row['start']}")
            return None
        return Placement(operation, visit, gang, Slot(start), Slot(finish), closure, alternative)

    def _name(self, path: TomlPath, row: dict[str, Any], key: str, known: list[str]) -> str:
        word = row.get(key)
        if key in row and word not in known:
            self._add(f"unknown-{key}", (*path, key), shown(word), listed(known), did_you_mean(word, known))
        return str(word)

    def _visit(self, path: TomlPath, row: dict[str, Any]) -> int:
        visit = row.get("visit", 1)
        if isinstance(visit, bool) or not isinstance(visit, int) or not 1 <= visit <= _MOST_VISITS:
            self._add("wrong-kind", (*path, "visit"), shown(visit), "a whole number from 1")
            return 1
        return visit

    def _alternative(self, path: TomlPath, row: dict[str, Any]) -> str | None:
        alternative = row.get("alternative")
        if alternative is not None and not isinstance(alternative, str):
            self._add("wrong-kind", (*path, "alternative"), shown(alternative), "text or null")
            return None
        return alternative

    def _slot(self, path: TomlPath, row: dict[str, Any]) -> int | None:
        """Return the slot of a time on a quarter-hour, inside the job's days."""
        if path[-1] not in row:
            return None
        value = row[str(path[-1])]
        allowed = f"a time such as {self.job.time.local(0).isoformat(timespec='minutes')}"
        try:
            moment = datetime.fromisoformat(value)
        except (TypeError, ValueError):
            self._add("bad-time", path, shown(value), allowed)
            return None
        if moment.tzinfo is None:
            self._add("no-offset", path, shown(value), allowed, "Give the offset from UTC.")
            return None
        return self._on_axis(path, value, moment)

    def _on_axis(self, path: TomlPath, value: str, moment: datetime) -> int | None:
        seconds = (moment - self.job.time.epoch).total_seconds()
        slot, rest = divmod(seconds, SLOT_MINUTES * 60)
        if rest:
            self._add("off-slot", path, shown(value), "whole quarter-hours")
            return None
        if not 0 <= slot <= self.job.time.horizon:
            first, last = self.job.time.local(0), self.job.time.local(self.job.time.horizon)
            self._add(
                "outside-job", path, shown(value), f"times from {first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M}"
            )
            return None
        return int(slot)

    def _check_twice(self, placements: Iterable[Placement]) -> None:
        seen: set[tuple[str, int]] = set()
        for placed in placements:
            key = (placed.operation, placed.visit)
            if key in seen:
                words = f"visit {placed.visit} of {placed.operation} a second time"
                self._add("doubled-visit", ("placements",), words, "each visit once")
            seen.add(key)

    def _check_closures_used(self, data: dict[str, Any], placements: list[Placement]) -> None:
        """The list says again what the placements say; where it differs, somebody edited one of them."""
        named = data.get("closures_used", [])
        if not isinstance(named, list) or not all(isinstance(name, str) for name in named):
            self._add("wrong-kind", ("closures_used",), shown(named), "a list of closure ids")
            return
        for number, name in enumerate(named):
            if name not in self._closures:
                path: TomlPath = ("closures_used", number)
                self._add("unknown-closure", path, shown(name), listed(self._closures))
        used = {placed.closure for placed in placements if placed.closure}
        if not self.faults and "closures_used" in data and set(named) != used:
            allowed = f"the closures of the placements: {listed(sorted(used))}"
            self._add("closures-differ", ("closures_used",), shown(named), allowed)

    def _add(self, code: str, path: TomlPath, found: str, allowed: str, hint: str = "") -> None:
        words = path_words(path, self._table)
        self.faults.append(Fault(code, words, self._lines.line(path), found, allowed, hint))

    def _fault(self, code: str, found: str, allowed: str, line: int | None = None) -> None:
        self.faults.append(Fault(code, "the file", line, found, allowed))


def operation_keys(job: Job) -> list[str]:
    """Return "ELEMENT/OP" for all operations and remedies that a plan of the job may hold, in file order."""
    keys = []
    for element in job.elements:
        method = job.method(element.method)
        keys += [f"{element.id}/{one.id}" for one in method.operations if one.id not in element.omit]
        remedies = (job.remedy_for(element, gap) for gap in method.gaps)
        keys += [f"{element.id}/{remedy.id}" for remedy in remedies if remedy is not None]
    return keys


def _no_key_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        keys = [key for key, _ in pairs]
        raise ValueError(f"the key {shown(next(key for key in keys if keys.count(key) > 1))} twice in one object")
    return table


def _no_constant(word: str) -> Any:
    raise ValueError(f"{word}, which is no number")
