"""`liftgap why`: why an operation stands where it does, and the chain that fixes the finish."""

from __future__ import annotations

import argparse

from planner.audit.chain import NOTHING_RECORDED, ChainLink, Recorded, chain_words, critical_chain, titled
from planner.audit.check import Auditor
from planner.audit.explain import why_here
from planner.audit.wording import days_words
from planner.cli.command import BAD_INPUT, GOOD, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.searching import seconds_from
from planner.cli.wording import count_words, moment
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan
from planner.jobfile.suggest import did_you_mean
from planner.model import Plan
from planner.site_record.rest import Rest, rest_of
from planner.solve.buys import Begun, Buy, Effort, what_buys
from planner.units import SLOT_MINUTES

_BEGUN = "It is done or under way: the site record tells when, and nothing moves it."


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument(
        "--operation", metavar="KEY", help="one operation, ELEMENT/OP; left out, the one that ends last"
    )
    parser.add_argument(
        "--buys",
        metavar="SECONDS",
        type=seconds_from,
        help="plan again for so long with one more of each gang and closure in the chain: what would it buy?",
    )
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    job, weather = loaded.job, loaded.weather
    plan, auditor = read_plan(arguments.plan, job), Auditor(job, weather)
    rest = rest_of(job, auditor, plan)
    stands = rest.base if rest else plan
    recorded = Recorded(rest.stood.exact, rest.begun) if rest else NOTHING_RECORDED
    key: str | None = arguments.operation
    planned = list(dict.fromkeys(placed.operation for placed in stands.placements))
    if not planned or (key is not None and key not in planned):
        words = f"{arguments.plan}: the plan holds no operation {key or 'at all'}. {did_you_mean(key or '', planned)}"
        return Answer(BAD_INPUT, remarks=(words.strip(),))
    links = critical_chain(job, weather, stands, key, recorded, auditor)
    chosen = links[0].operation
    held = why_here(job, weather, stands, chosen, auditor, recorded.exact).words
    return Answer(
        GOOD,
        (
            *((f"As it stands by the site record, up to {moment(job.time, rest.now)}.", "") if rest else ()),
            f"{titled(job, chosen)}:",
            *(f"  {words}" for words in ((_BEGUN,) if chosen in recorded.begun else held)),
            "",
            f"What it comes from, {count_words(len(links), 'operation')} from first to last:",
            *(f"  {words}" for words in chain_words(job, links)),
            *(_buys(loaded, stands, links, Effort(arguments.buys, say=say), rest) if arguments.buys else ()),
        ),
    )


def _buys(
    loaded: LoadedJob, plan: Plan, links: tuple[ChainLink, ...], effort: Effort, rest: Rest | None
) -> tuple[str, ...]:
    begun = Begun(rest.base, rest.now, rest.begun) if rest else None
    ahead = [link.operation for link in links if not link.begun]
    found = what_buys(loaded.job, loaded.weather, plan, ahead, effort, begun)
    lines = (f"  {buy.words}: {_bought(buy)}" for buy in found)
    return ("", f"What one more would buy at the finish, each planned for {effort.seconds:g} s:", *lines)


def _bought(buy: Buy) -> str:
    sooner, most = (days_words(slots * SLOT_MINUTES) for slots in (buy.slots, buy.most))
    if buy.proved:
        return f"{sooner} sooner, proved: no more" if buy.slots else "nothing, proved"
    if not buy.slots:
        return f"nothing found; no plan with it is more than {most} sooner"
    return f"{sooner} sooner; no plan with it is more than {most} sooner"


COMMAND = Command("why", "Say what holds an operation, and the chain that fixes the finish.", _add_arguments, _run)
