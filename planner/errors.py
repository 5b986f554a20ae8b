"""The error tree: an error's class says what went wrong; its `code` is stable for tests, help and scripts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.findings import Finding, Weight


class LiftgapError(Exception):
    """Any error that the planner raises on purpose."""

    code = "liftgap"


@dataclass(frozen=True)
class Fault:
    """One fault in an input file: where it is, what was found, what is allowed, and how to mend it."""

    code: str
    path: str
    line: int | None
    found: str
    allowed: str
    hint: str = ""

    def __str__(self) -> str:
        where = f"line {self.line}" if self.line is not None else "no line"
        hint = f" {self.hint}" if self.hint else ""
        return f"{where}: {self.path}: found {self.found}; allowed: {self.allowed}.{hint}"


class InputError(LiftgapError):
    """An input file can't be used; carries every fault found in it, in file order."""

    code = "bad-input"

    def __init__(self, file: str, faults: Sequence[Fault]) -> None:
        self.file = file
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line or 0, fault.path)))
        count = len(self.faults)
        head = f"{file}: {count} fault{'s' if count != 1 else ''}"
        super().__init__("\n".join([head, *(f"  {fault}" for fault in self.faults)]))


class JobFileError(InputError):
    """The job file has faults."""

    code = "bad-job"


class PlanFileError(InputError):
    """The plan file has faults."""

    code = "bad-plan"


class ForecastError(InputError):
    """The forecast has faults."""

    code = "bad-forecast"


class NoSuchTimeError(LiftgapError):
    """A typed time never comes: the clocks go forward over it, or the job is over by then."""

    code = "no-such-time"


class NetworkError(LiftgapError):
    """The operations can't be put in any order; carries the findings that say why, and words for the breaches."""

    code = "bad-network"

    def __init__(self, findings: Sequence[Finding]) -> None:
        self.findings = tuple(findings)
        breaches = [finding for finding in self.findings if finding.weight is Weight.BREACH]
        super().__init__("\n".join(_needs(finding) for finding in breaches or self.findings))


def _needs(finding: Finding) -> str:
    """Return a finding on a network as a sentence for a planner, without its code."""
    remedy = f" {finding.remedy}" if finding.remedy else ""
    return f"{finding.place} needs {finding.required}; found: {finding.found}.{remedy}"


class OutOfRangeError(LiftgapError):
    """A formula was asked for a value outside its range of validity."""

    code = "out-of-range"
