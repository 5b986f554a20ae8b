"""`liftgap risk`: how sure a plan is, over many weathers that the forecast might turn into."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from planner.audit.check import Auditor
from planner.cli.command import BAD_INPUT, GOOD, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.moments import site_moment, slot_from
from planner.cli.numbers import whole
from planner.cli.wording import columns, count_words, moment
from planner.jobfile.planfile import read_plan
from planner.model import Job
from planner.risk.as_of import AsOf, as_of
from planner.risk.chances import Chance, Finish
from planner.risk.risk import Risk, risk
from planner.weather.ensemble import make_ensemble, read_ensemble

DEFAULT_MEMBERS, MOST_MEMBERS = 1000, 5000
_GAP_HEAD = ("gap", "times as planned", "gang that waits")
_ROAD_HEAD = ("reopening of", "element", "exposed stretch", "times as planned", "gang that waits")
_CAUTION = (
    "Chances are those of cure clocks under the errors assumed of a forecast; the limits of weather while work goes "
    "on are not in them: see `liftgap audit`. Readings on the day overrule them."
)


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument(
        "--members",
        metavar="N",
        type=whole(1, MOST_MEMBERS),
        default=DEFAULT_MEMBERS,
        help="how many weathers to make about the forecast (default %(default)s)",
    )
    parser.add_argument("--seed", metavar="N", type=whole(), default=1, help="another seed makes others")
    parser.add_argument(
        "--members-file", metavar="FILE", type=Path, help="an ensemble forecast (JSON) whose members are used instead"
    )
    parser.add_argument(
        "--now",
        metavar="TIME",
        type=site_moment,
        help="site time, as 2027-04-08T12:00: what is done by then is certain, and chances are of the rest",
    )
    parser.add_argument("--json", action="store_true", help="write JSON instead of tables")
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    path: Path = arguments.plan
    plan = read_plan(path, loaded.job)
    if not plan.placements:
        return Answer(BAD_INPUT, remarks=(f"{path}: the plan holds no operation",))
    now = None if arguments.now is None else slot_from(loaded.job.time, arguments.now)
    stands = as_of(loaded.job, Auditor(loaded.job, loaded.weather), plan, now)
    zone = loaded.job.time.zone
    if arguments.members_file is not None:
        ensemble = read_ensemble(arguments.members_file, zone)
    else:
        known = stands.known_until(loaded.job)
        ensemble = make_ensemble(loaded.series, arguments.members, arguments.seed, zone, known_until=known)
    found = risk(loaded.job, loaded.weather, stands.plan, ensemble, stands.begun)
    if arguments.json:
        return Answer(GOOD, (risk_json(loaded.job, found, arguments.seed),))
    return Answer(GOOD, (*_begun_lines(loaded.job, stands, found.settled), *_lines(loaded.job, found)))


def _begun_lines(job: Job, stands: AsOf, settled: int) -> Iterator[str]:
    begun = stands.begun
    if not begun.now:
        return
    by = "By the site record" if job.record else "Taken to have gone as planned:"
    count = count_words(len(begun.operations), "operation")
    yield f"{by} {count} done or under way by {moment(job.time, begun.now)}, left as it is."
    if settled:
        yield f"{count_words(settled, 'gap or reopening', 'gaps and reopenings')} behind by then: in no chance below."
    if stands.overdue:
        late = count_words(len(stands.overdue), "operation")
        yield f"{late} should have begun by then, and nothing is recorded of it: none begins before then."


def _lines(job: Job, found: Risk) -> Iterator[str]:
    yield found.words
    yield "Chances in per cent, with the sampling error (one standard error) of so few members."
    yield ""
    yield from columns([_GAP_HEAD, *((one.key, _chance(one.planned), _chance(one.waiting)) for one in found.gaps)])
    if found.reopenings:
        yield ""
        rows = [
            (one.closure, one.element, one.stretch, _chance(one.planned), _chance(one.waiting))
            for one in found.reopenings
        ]
        yield from columns([_ROAD_HEAD, *rows])
    yield ""
    yield from _finish_lines(job, found)
    yield f"Cautions: {_CAUTION}"


def _finish_lines(job: Job, found: Risk) -> Iterator[str]:
    fixed = f"{_chance(found.all_planned)} that every gap and reopening holds"
    yield f"Times as planned: finish {moment(job.time, found.planned_finish)}; {fixed}."
    done = f"P50 {_moment(job, found.finish.p50)}, P80 {_moment(job, found.finish.p80)}"
    in_job = f"{_chance(found.finish.in_job)} that it is done within the job's days"
    yield f"Gang that waits until ready: finish {done}; {in_job};"
    yield f"  {_chance(found.all_waiting)} that no gap is missed and no lane reopens late."


def _moment(job: Job, slot: int | None) -> str:
    return "not within the job" if slot is None else moment(job.time, slot)


def _chance(one: Chance) -> str:
    """Return a chance such as "95.4 ± 0.7 %"; all or none of the members have no error to show."""
    if one.held in (0, one.members):
        return f"{100 * one.share:.0f} % of {count_words(one.members, 'member')}"
    return f"{100 * one.share:.1f} ± {100 * one.standard_error:.1f} %"


def risk_json(job: Job, found: Risk, seed: int) -> str:
    """Return the risk as a JSON text: shares from 0 to 1 with standard errors, times ISO 8601 in site time."""
    data = {
        "liftgap_risk": 1,
        "job": job.job.name,
        "members": found.members,
        "seed": seed,
        "about": found.words,
        "settled": found.settled,
        "gaps": [
            {
                "gap": one.key,
                "after": one.after,
                "before": one.before,
                "product": one.product,
                "opens": _fields(one.opens),
                "planned": _fields(one.planned),
                "waiting": _fields(one.waiting),
                "mended": _fields(one.mended),
            }
            for one in found.gaps
        ],
        "reopenings": [
            {
                "closure": one.closure,
                "element": one.element,
                "stretch": one.stretch,
                "planned": _fields(one.planned),
                "waiting": _fields(one.waiting),
            }
            for one in found.reopenings
        ],
        "planned": {"finish": _iso(job, found.planned_finish), "all_holds": _fields(found.all_planned)},
        "waiting": {**_finish_fields(job, found.finish), "all_holds": _fields(found.all_waiting)},
    }
    return json.dumps(data, indent=1, ensure_ascii=False)


def _finish_fields(job: Job, finish: Finish) -> dict[str, Any]:
    return {
        "p50": _iso(job, finish.p50),
        "p80": _iso(job, finish.p80),
        "in_job": _fields(finish.in_job),
    }


def _fields(one: Chance) -> dict[str, float]:
    return {"share": one.share, "standard_error": round(one.standard_error, 6)}


def _iso(job: Job, slot: int | None) -> str | None:
    return None if slot is None else job.time.local(slot).isoformat(timespec="minutes")


COMMAND = Command(
    "risk", "Say how sure each gap, each reopening and the finish are, over many weathers.", _add_arguments, _run
)
