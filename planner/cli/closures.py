"""`liftgap closures`: what each number of closures buys, and what each closure of the recommended plan is worth."""

from __future__ import annotations

import argparse
import errno
from datetime import UTC, datetime
from pathlib import Path

from planner.cli.closures_json import study_json
from planner.cli.closures_table import no_plan_lines, study_lines
from planner.cli.command import BAD_INPUT, GOOD, NO, Answer, Arguments, Command, Say, add_job, add_weather
from planner.cli.loading import load
from planner.cli.numbers import whole
from planner.cli.searching import add_seconds, out_fault
from planner.closures.handing import DrawRequest, Kind, write_parts
from planner.closures.paper import RequestList
from planner.closures.parts import Part, files_of
from planner.closures.results import Study
from planner.closures.study import DEFAULT_SECONDS, study
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan, write_plan
from planner.jobfile.suggest import did_you_mean


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_seconds(parser, "how long to look, about", DEFAULT_SECONDS)
    parser.add_argument(
        "--only", metavar="ID,ID,…", type=_ids, help="all the closures that will be given, refused ones too"
    )
    parser.add_argument("--without", metavar="ID,…", type=_ids, default=(), help="closures that are refused")
    parser.add_argument(
        "--take",
        metavar="N",
        type=whole(),
        help="look into the plan with N closures, not the one that costs least",
    )
    parser.add_argument(
        "--from",
        metavar="PLAN.json",
        dest="base",
        type=Path,
        help="the plan handed out, against which the job's site record is read; else the one issued last",
    )
    parser.add_argument("--json", action="store_true", help="write JSON instead of tables")
    parser.add_argument("--xlsx", metavar="FILE", type=Path, help="write the request list as a spreadsheet too")
    parser.add_argument("--pdf", metavar="FILE", type=Path, help="write the request list on A4 paper too")
    parser.add_argument("--ics", metavar="FILE", type=Path, help="write the plan's closures as a calendar too")
    parser.add_argument(
        "--ours",
        action="store_true",
        help="write what the closures are worth to us too, into NAME_for_ourselves beside each of these files",
    )
    parser.add_argument("--out", metavar="PLAN.json", type=Path, help="write the plan that was looked into too")
    parser.add_argument("--seed", metavar="N", type=whole(), default=1, help="another seed tries other orders")
    add_weather(parser)


def _ids(words: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))


def command(draw: DrawRequest | None = None) -> Command:
    """Return the command; `draw` puts the request list on paper, without it there is none."""

    def run(arguments: Arguments, say: Say) -> Answer:
        return _run(arguments, say, draw)

    words = "Say what each number of closures buys and what each closure is worth."
    return Command("closures", words, _add_arguments, run)


def _run(arguments: Arguments, say: Say, draw: DrawRequest | None) -> Answer:
    if arguments.pdf is not None and draw is None:
        return Answer(
            BAD_INPUT, remarks=("--pdf needs the desktop: run `liftgap closures`, not `python -m planner`",)
        )
    fault = _file_fault(arguments)
    if fault is not None:
        return fault
    loaded = load(arguments, say)
    unknown = _unknown(loaded, (*(arguments.only or ()), *arguments.without))
    if unknown:
        return Answer(BAD_INPUT, remarks=unknown)
    planned = None if arguments.base is None else read_plan(arguments.base, loaded.job)
    try:
        found = study(
            loaded.job,
            loaded.weather,
            only=arguments.only,
            refused=arguments.without,
            take=arguments.take,
            planned=planned,
            seconds=arguments.seconds,
            seed=arguments.seed,
            say=say,
        )
    except ValueError as error:
        return Answer(BAD_INPUT, remarks=(f"--take: {error}",))
    if found.recommended is None:
        return Answer(NO, (study_json(found),) if arguments.json else (), tuple(no_plan_lines(found)))
    written = _write(arguments, found, draw or _no_paper)
    lines = (study_json(found),) if arguments.json else tuple(study_lines(found))
    return Answer(GOOD, lines, tuple(f"{file}: for ourselves, not to be handed over" for file in written))


def _file_fault(arguments: Arguments) -> Answer | None:
    """Return the answer where a file can't be written; raises where one may not be replaced."""
    if arguments.ours and not any(getattr(arguments, kind) for kind in Kind):
        return Answer(BAD_INPUT, remarks=("--ours stands beside --xlsx, --pdf or --ics",))
    for option in (*Kind, "out"):
        path = getattr(arguments, option)
        for file in files_of(path, arguments.ours and option != "out").values() if path is not None else ():
            fault = out_fault(file, f"--{option}")
            if fault is not None:
                return fault
    return None


def _unknown(loaded: LoadedJob, ids: tuple[str, ...]) -> tuple[str, ...]:
    known = [closure.id for closure in loaded.job.closures]
    return tuple(f"the job has no closure {id!r}. {did_you_mean(id, known)}".strip() for id in ids if id not in known)


def _write(arguments: Arguments, found: Study, draw: DrawRequest) -> list[Path]:
    """Write the files that are asked for, and return those of them that are for ourselves."""
    ours: list[Path] = []
    for kind in Kind:
        path = getattr(arguments, kind)
        if path is not None:
            _request, *own = write_parts(path, kind, found, datetime.now(UTC), draw, arguments.ours)
            ours += own
    if arguments.out is not None and found.recommended is not None:
        write_plan(arguments.out, found.recommended.plan, found.job)
    return ours


def _no_paper(path: Path, _request: RequestList, _part: Part) -> int:
    raise OSError(errno.ENOTSUP, "paper needs the desktop", str(path))


COMMAND = command()
