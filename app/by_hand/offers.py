"""Who else could do an operation, and in which other ways, each with what would come of it. No Qt."""

from __future__ import annotations

from dataclasses import dataclass

from app.board.clock import length, moment
from app.by_hand.edits import by_hand, done_as, made_by, operation_as
from app.finding_words import count
from app.session import Session
from planner.findings import Finding, Weight
from planner.network.options import REMEDY, options_of

USUAL = "The usual way"


@dataclass(frozen=True)
class Offer:
    """A gang, or a way (None for the usual one), for an operation; standing: it is so in the plan."""

    key: str
    name: str
    gang: str | None = None
    way: str | None = None
    standing: bool = False
    cost: float = 0.0
    """Money more than the usual way; below 0 where it saves."""


@dataclass(frozen=True, eq=False)
class Effect:
    """What comes of an offer, everything else staying: the session with it, and breaches that were not there."""

    offer: Offer
    session: Session
    slots: int
    finish: int
    new: tuple[Finding, ...]
    gone: int

    @property
    def words(self) -> tuple[str, ...]:
        """What comes of it, a line each."""
        money = self.session.loaded.job.job.currency
        dearer = f", {abs(self.offer.cost):,.0f} {money} {'more' if self.offer.cost > 0 else 'less'}"
        takes = f"Takes {length(self.slots)}{dearer if self.offer.cost else ''}"
        lines = [f"{takes}; finishes {moment(self.session.facts.time, self.finish)}"]
        if self.offer.standing:
            return (*lines, "As it is in the plan")
        lines.append(f"Breaks {count(len(self.new), ('rule', 'rules'))}" if self.new else "Breaks no rule")
        if self.gone:
            lines[-1] += f"; mends {count(self.gone, ('breach', 'breaches'))}"
        return (*lines, *(_said(one) for one in self.new[:2]))


def offers(session: Session, key: str) -> tuple[Offer, ...]:
    """Return the gangs with the skill for an operation, then the ways of doing it if there is a choice."""
    operation, plan = session.operation(key), session.plan
    visits = plan.visits_of(key) if plan else ()
    if operation is None or not visits:
        return ()
    job, now = session.loaded.job, visits[0]
    gangs = [
        Offer(key, gang.name, gang=gang.id, standing=gang.id == now.gang)
        for gang in job.gangs
        if operation.skill in gang.skills
    ]
    ways = [
        Offer(key, option.name, way=option.choice, standing=option.choice == now.alternative, cost=option.cost)
        for option in options_of(job)
        if option.key == key and option.choice != REMEDY
    ]
    usual = [Offer(key, USUAL, standing=now.alternative is None)] if ways else []
    return (*gangs, *usual, *ways)


def effect(session: Session, offer: Offer) -> Effect:
    """Return what comes of an offer; takes a while."""
    if offer.gang is not None:
        plan = made_by(session, offer.key, offer.gang)
        way = plan.visits_of(offer.key)[0].alternative
    else:
        plan, way = done_as(session, offer.key, offer.way), offer.way
    made = session if offer.standing else by_hand(session, plan, offer.key)
    before, after = _breaches(session), _breaches(made)
    return Effect(
        offer,
        made,
        operation_as(session, offer.key, way).length,
        max(one.finish for one in plan.visits_of(offer.key)),
        tuple(one for one in after if one not in before),
        sum(one not in after for one in before),
    )


def _breaches(session: Session) -> list[Finding]:
    return [one for one in session.findings if one.weight is Weight.BREACH]


def _said(one: Finding) -> str:
    return f"{one.words[:1].upper()}{one.words[1:]}"
