"""`liftgap why`: why an operation stands where it does, and the chain that fixes the finish."""

from __future__ import annotations

import argparse

from planner.audit.chain import ChainLink, chain_words, critical_chain, titled
from planner.audit.explain import why_here
from planner.cli.command import BAD_INPUT, GOOD, Answer, Arguments, Command, Say, add_job, add_plan, add_weather
from planner.cli.loading import load
from planner.cli.wording import span
from planner.jobfile.load import LoadedJob
from planner.jobfile.planfile import read_plan
from planner.jobfile.suggest import did_you_mean
from planner.model import Plan
from planner.solve.buys import Buy, what_buys


def _add_arguments(parser: argparse.ArgumentParser) -> None:
    add_job(parser)
    add_plan(parser)
    parser.add_argument(
        "--operation", metavar="KEY", help="one operation, ELEMENT/OP; left out, the one that ends last"
    )
    parser.add_argument(
        "--buys",
        metavar="SECONDS",
        type=float,
        help="plan again for so long with one more of each gang and closure in the chain: what would it buy?",
    )
    add_weather(parser)


def _run(arguments: Arguments, say: Say) -> Answer:
    loaded = load(arguments, say)
    job, weather = loaded.job, loaded.weather
    plan = read_plan(arguments.plan, job)
    key: str | None = arguments.operation
    planned = list(dict.fromkeys(placed.operation for placed in plan.placements))
    if not planned or (key is not None and key not in planned):
        words = f"{arguments.plan}: the plan holds no operation {key or 'at all'}. {did_you_mean(key or '', planned)}"
        return Answer(BAD_INPUT, remarks=(words.strip(),))
    links = critical_chain(job, weather, plan, key)
    chosen = links[0].operation
    return Answer(
        GOOD,
        (
            f"{titled(job, chosen)}:",
            *(f"  {words}" for words in why_here(job, weather, plan, chosen).words),
            "",
            f"What it comes from, {len(links)} operations from first to last:",
            *(f"  {words}" for words in chain_words(job, links)),
            *(_buys(loaded, plan, links, arguments.buys) if arguments.buys else ()),
        ),
    )


def _buys(loaded: LoadedJob, plan: Plan, links: tuple[ChainLink, ...], seconds: float) -> tuple[str, ...]:
    found = what_buys(loaded.job, loaded.weather, plan, [link.operation for link in links], seconds)
    lines = (f"  {buy.words}: {_bought(buy)}" for buy in found)
    return ("", f"What one more would buy at the finish, each planned for {seconds:g} s:", *lines)


def _bought(buy: Buy) -> str:
    if buy.proved:
        return f"{span(buy.slots)} (h:min) sooner, proved: no more" if buy.slots else "nothing, proved"
    if not buy.slots:
        return f"nothing found, and no more than {span(buy.most)} (h:min)"
    return f"{span(buy.slots)} (h:min) sooner, and no more than {span(buy.most)}"


COMMAND = Command("why", "Say what holds an operation, and the chain that fixes the finish.", _add_arguments, _run)
