"""Stands in for the solving process: answers as its first argument says."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from planner.solve.messages import Better, Done, Progress, SolveRequest, from_line, to_line


def say(message: Better | Done | Progress) -> None:
    sys.stdout.write(to_line(message) + "\n")
    sys.stdout.flush()


def main() -> int:
    behaviour = sys.argv[1]
    if behaviour == "crash-at-once":
        sys.stderr.write("Traceback: the worker fell over\n")
        return 3
    request = from_line(sys.stdin.readline())
    assert isinstance(request, SolveRequest)
    run = request.run
    plans = [json.loads(Path(name).read_text(encoding="utf-8")) for name in sys.argv[2:]]
    say(Progress(run, 0.1, 5, None, None, "first plan"))
    if behaviour == "late":
        say(Progress(run + 7, 9.0, 99, 1.0, 1.0, "from another run"))
        sys.stdout.write("this is no message\n")
    for number, plan in enumerate(plans):
        say(Better(run, 0.2 + number, plan))
    if behaviour == "crash":
        sys.stderr.write("Traceback: the worker fell over\n")
        return 3
    if behaviour == "no-plan":
        say(Done(run, "no-plan", True, False, 0.3, ("No closure covers lane 1 for long enough.",)))
        return 0
    if behaviour == "until-cancelled":
        sys.stdin.readline()
        say(Done(run, "plan" if plans else "no-plan", False, True, 0.5))
        return 0
    if behaviour == "deaf":
        time.sleep(60)
    say(Done(run, "plan", behaviour == "proved", False, 0.4))
    return 0


if __name__ == "__main__":
    sys.exit(main())
