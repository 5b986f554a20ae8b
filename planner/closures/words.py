"""The study of closures in site English: one line a figure, for terminal, workbook and calendar alike."""

from __future__ import annotations

from planner.audit.wording import at_minute, at_slot, length_words, list_words
from planner.closures.results import SLOTS_PER_DAY, ClosureWorth, FromRecord, Instead, LeastLength, Refusal, Step
from planner.model import Closure, Job
from planner.units import SLOT_MINUTES, SiteTime

NOT_LOOKED = "not looked into"


def long_words(slots: int) -> str:
    """Return a length of time in slots such as "6 d 19 h 45 min"."""
    days, rest = divmod(abs(slots), SLOTS_PER_DAY)
    words = [f"{days} d"] if days else []
    return " ".join([*words, length_words(rest * SLOT_MINUTES)] if rest or not days else words)


def closures_words(count: int) -> str:
    """Return a number of closures such as "4 closures"."""
    return "1 closure" if count == 1 else f"{count} closures"


def money_words(money: float, currency: str) -> str:
    """Return money such as "12,400.00 GBP"."""
    return f"{money:,.2f} {currency}"


def asked_money(job: Job, step: Step) -> float:
    """Return what the closures of a step cost that are in question; what the site record has is had anyway."""
    return sum(one.cost for one in job.closures if one.id in step.closures)


def record_words(record: FromRecord, time: SiteTime) -> str:
    """Return what a study takes from the site record."""
    going = f", {record.under_way} under way" if record.under_way else ""
    done = f"{record.done} work{'' if record.done == 1 else 's'} done{going}, up to {at_slot(time, record.now)}"
    ids = list_words(list(record.closures)) if record.closures else ""
    past = f"; past or in use, and so not in question: {ids}" if ids else ""
    count = len(record.to_decide)
    gaps = "a gap that can't be met any more is" if count == 1 else f"{count} gaps that can't be met any more are"
    decide = f"; {gaps} let go and to be decided on site" if count else ""
    return f"From the record: {done}{past}{decide}."


def one_line(text: str) -> str:
    """Return a text from a file on one line, without controls and marks that turn its direction."""
    if text.isprintable():
        return " ".join(text.split())
    return " ".join("".join(letter if letter.isprintable() or letter == " " else " " for letter in text).split())


def standing_words(step: Step, time: SiteTime) -> str:
    """Return whether a step's finish is proved the earliest at its price, else what no plan can beat."""
    return "proved" if step.proved else f"best found; none before {at_slot(time, step.floor)}"


def window_words(job: Job, closure: Closure) -> str:
    """Return a closure's own times, such as "Fri 2 Apr 20:00 to Mon 5 Apr 05:00"."""
    time = job.time
    first, last = (time.minutes_of(time.wall(end)) for end in (closure.start, closure.finish))
    return f"{at_minute(time, first)} to {at_minute(time, last)}"


def least_words(job: Job, least: LeastLength | None) -> str:
    """Return the least length with its times, and what is known of a quarter of an hour less."""
    if least is None:
        return NOT_LOOKED
    window = least.window
    times = f"{at_slot(job.time, window.start)} to {at_slot(job.time, window.finish)}"
    return f"{long_words(window.length)} ({times}); {_shorter_words(least)}"


def _shorter_words(least: LeastLength) -> str:
    if not least.sought:
        return "there was no time to look for a shorter one"
    if least.start_proved and least.finish_proved:
        return "15 min less at either end: proved that no plan in the step's closures alone finishes as early"
    return "15 min less at either end: no plan as early in the step's closures alone was found"


def refusal_words(job: Job, refusal: Refusal | None) -> str:
    """Return what is lost if a closure is refused: days, money or the whole plan."""
    if refusal is None:
        return NOT_LOOKED
    if refusal.second is None:
        return "no plan exists" if refusal.proved_none else "no plan was found"
    words, others = instead_words(job, refusal.second), refusal.second.added
    return words if refusal.second.slots_lost or not others else f"{words}, with the second choice in its place"


def instead_words(job: Job, instead: Instead) -> str:
    """Return how a plan differs from the one with the closure: later by so much, dearer by so much.

    "Up to" where an earlier one is not ruled out.
    """
    slots, money = instead.slots_lost, instead.money_lost
    sure = "" if instead.proved or slots < 0 else "up to "
    late = f"{sure}{long_words(slots)} {'later' if slots > 0 else 'sooner'}" if slots else "no later"
    dear = f"{money_words(abs(money), job.job.currency)} {'more' if money > 0 else 'less'}"
    return f"{late}, {dear if round(money, 2) else 'the same'} for days and closures"


def lanes_words(job: Job, closure: Closure) -> str:
    """Return the names of the lanes that a closure shuts."""
    names = {lane.id: one_line(lane.name) for lane in job.lanes}
    return ", ".join(names.get(id, id) for id in closure.lanes)


def second_words(refusal: Refusal | None) -> str:
    """Return which closures take the place of a refused one."""
    if refusal is None:
        return NOT_LOOKED
    if refusal.second is None:
        return "none"
    return list_words(list(refusal.second.added)) if refusal.second.added else "none is needed"


def work_words(worth: ClosureWorth) -> str:
    """Return what is done in a closure, element by element."""
    by_element: dict[str, list[str]] = {}
    for one in worth.work:
        by_element.setdefault(one.element, []).append(one.name)
    return "; ".join(
        f"{one_line(element)}: {', '.join(map(one_line, names))}" for element, names in by_element.items()
    )
