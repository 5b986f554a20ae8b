"""Stands in for the process that studies closures: says what stands in a file, as its first argument says."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from planner.closures.messages import Message, Over, Said, Seen, StudyRequest, from_line, to_line


def say(message: Message) -> None:
    sys.stdout.write(to_line(message) + "\n")
    sys.stdout.flush()


def main() -> int:
    behaviour, content = sys.argv[1], json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))
    request = from_line(sys.stdin.readline())
    assert isinstance(request, StudyRequest)
    run = request.run
    if behaviour == "crash":
        sys.stderr.write("Traceback: the study fell over\n")
        return 3
    say(Said(run, 0.1, "trade-off by number of closures"))
    steps_only = {**content["study"], "recommended": None, "worths": []}
    say(Seen(run, 0.2, steps_only, content["plans"]))
    if behaviour == "until-halted":
        sys.stdin.readline()
        say(Over(run, "studied", True, 0.5))
        return 0
    if behaviour == "deaf":
        time.sleep(60)
    say(Seen(run, 0.3, content["study"], {}))
    say(Over(run, "studied", False, 0.4))
    return 0


if __name__ == "__main__":
    sys.exit(main())
