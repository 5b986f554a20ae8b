"""The choice above the search: alternatives, remedies and overtime, one plain integer problem for each way."""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterator, Mapping
from functools import cached_property
from itertools import product
from math import prod

from planner.errors import NetworkError
from planner.model import Aim, Job
from planner.model.keys import element_of
from planner.network.checks import check
from planner.network.options import (
    NOTHING_CHOSEN,
    OVERTIME,
    REMEDY,
    Chosen,
    Option,
    as_chosen,
    chosen_in,
    options_of,
    overtime_in,
)
from planner.network.work import Work
from planner.problem.build import build_problem
from planner.problem.issued import Issued
from planner.problem.kept import Shared
from planner.problem.parts import Problem
from planner.problem.requirements import Dropped
from planner.solve.bounds import bound, cost_bound, finish_bound
from planner.solve.closure_bounds import closures_bound
from planner.solve.elements import elements_needed, only_elements
from planner.solve.exactness import is_exact
from planner.solve.place import Stuck
from planner.solve.schedule import Workshop, lay_alone, make_workshop, must_change
from planner.weather.job_weather import JobWeather

MOST_COMBINED = 32
"""Ways of choosing for one unit that are all laid for a bound; a unit with more is left out of it."""
DOUBLE_TURNS = 12
KEPT = 64
"""Workshops kept for choices that come back."""

Held = Mapping[str, str | None]
"""Keys that are not to be chosen any more, each with its choice, or None for the way that the job states first."""
NOTHING_HELD: Held = {}
Turn = tuple[tuple[str, str | None], ...]
"""Keys with what they are to be given: a choice, or None for the way that the job states first."""


def after_turn(chosen: Chosen, turn: Turn) -> dict[str, str]:
    """Return `chosen` with `turn` made."""
    made = dict(chosen)
    for key, choice in turn:
        made.pop(key, None)
        if choice is not None:
            made[key] = choice
    return made


class Ways:
    """The problems of one job in one weather by what is chosen, each made on what all have in common."""

    def __init__(
        self,
        job: Job,
        weather: JobWeather,
        issued: Issued | None = None,
        held: Held = NOTHING_HELD,
        shared: Shared | None = None,
    ) -> None:
        self.job, self.weather, self.issued = job, weather, issued
        plan = issued.plan if issued else None
        self.issued_choice = {**chosen_in(job, plan), **overtime_in(job, plan)} if plan else NOTHING_CHOSEN
        self._settled = {key: way for key, way in self.issued_choice.items() if issued and issued.is_done(key)}
        self._settled.update((key, way) for key, way in held.items() if way is not None)
        self.options = tuple(one for one in options_of(job) if one.key not in held and not self._is_past(one))
        self._shared = shared or Shared()
        self._made: dict[frozenset[tuple[str, str]], Workshop] = {}
        self._best: dict[str, str] = {}
        self._work: Work | None = None

    def workshop(self, chosen: Chosen = NOTHING_CHOSEN) -> Workshop:
        """Return the workshop of the job done as `chosen` says."""
        key = frozenset(chosen.items())
        if key not in self._made:
            if len(self._made) >= KEPT:
                del self._made[next(iter(self._made))]
            self._made[key] = make_workshop(self._problem_of(self.job, chosen))
        return self._made[key]

    def problem_of(self, part: Job, chosen: Chosen, dropped: Dropped) -> Problem:
        """Return the problem of a part of the job done as `chosen` says, without what is in `dropped`."""
        return build_problem(part, self.weather, dropped, {**self._settled_in(part), **chosen}, issued=self.issued)

    def _settled_in(self, part: Job) -> dict[str, str]:
        elements = {element.id for element in part.elements}
        return {key: way for key, way in self._settled.items() if element_of(key) in elements}

    def _problem_of(self, job: Job, chosen: Chosen) -> Problem:
        made = {**self._settled_in(job), **chosen}
        work = None if made or job is not self.job else self._work
        return build_problem(job, self.weather, chosen=made, shared=self._shared, issued=self.issued, work=work)

    def _is_past(self, option: Option) -> bool:
        """Say whether it is too late for a choice: its operation has started, or the one that a remedy is for."""
        if self.issued is None or option.choice == OVERTIME:
            return False
        return any(self.issued.is_done(key) for key in (option.key, option.before))

    def first_that_can_hold(self) -> Chosen:
        """Return the first way of choosing whose network can hold: that of the issued plan, or nothing chosen.

        Raises NetworkError, that of the job as it stands, where none can.
        """
        if self.issued is not None:
            open_keys = {option.key for option in self.options}
            return {key: way for key, way in self.issued_choice.items() if key in open_keys}
        try:
            self._work = check(self.job, self.weather).work
        except NetworkError:
            for chosen in (*self.starts(), self._element_by_element()):
                if self._can_hold(self.job, chosen):
                    return chosen
            raise
        return NOTHING_CHOSEN

    def _can_hold(self, part: Job, chosen: Chosen) -> bool:
        try:
            check(as_chosen(part, chosen), self.weather)
        except NetworkError:
            return False
        return True

    def _element_by_element(self) -> dict[str, str]:
        """Return for each element alone the first of all its ways whose network can hold."""
        found: dict[str, str] = dict(self._overtime)
        for element in sorted(self.open_to_choice):
            part = only_elements(self.job, {element})
            found.update(next((way for way in self.combined({element}) if self._can_hold(part, way)), {}))
        return found

    def start(self, chosen: Chosen) -> Chosen:
        """Return `chosen` if every unit has a place alone with it, else what was best for each; after `bound`."""
        workshop = self.workshop(chosen)
        stuck = any(isinstance(lay_alone(workshop, unit.index), Stuck) for unit in workshop.problem.units)
        return {**self._best, **self._overtime} if stuck else chosen

    def starts(self) -> Iterator[Chosen]:
        """Yield ways of choosing to begin with: all first alternatives, all second, with and without the rest."""
        by_key = self._choices()
        overtime = self._overtime
        remedies = {option.key: option.choice for option in self.options if option.choice == REMEDY}
        lists = [(key, choices) for key, choices in by_key.items() if key not in overtime and key not in remedies]
        for place in range(max((len(choices) for _, choices in lists), default=0)):
            ways = {key: choices[min(place, len(choices) - 1)] for key, choices in lists}
            yield ways
            yield {**ways, **remedies, **overtime}
        yield {**remedies, **overtime}
        for key, choices in lists:
            for choice in choices:
                yield {key: choice}

    def turns(self, chosen: Chosen, draw: random.Random) -> list[Turn]:
        """Return every single turn away from `chosen` in an order by lot, then some that turn two at once."""
        single: list[Turn] = [
            ((key, choice),)
            for key, choices in self._choices().items()
            for choice in (None, *choices)
            if chosen.get(key) != choice
        ]
        draw.shuffle(single)
        double = [(*draw.choice(single), *draw.choice(single)) for _ in range(min(DOUBLE_TURNS, len(single) // 2))]
        return [*single, *double]

    def _choices(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for option in self.options:
            found.setdefault(option.key, []).append(option.choice)
        return found

    def bound(self, aim: Aim) -> float | None:
        """Return a figure that no plan goes below whatever is chosen; None if some unit has no place in any way."""
        if not self.options:
            return bound(self.workshop(), aim)
        if aim is Aim.CHANGE:
            return self._changes()
        if aim is Aim.CLOSURES:
            return self._worst_unit(lambda workshop: closures_bound(workshop)[0])
        finish = self._worst_unit(finish_bound)
        if finish is None or aim is Aim.FINISH:
            return finish
        settled = self._without_choice()
        days = sum(day < finish for day in self.workshop().problem.day_starts)
        money = self.job.job.prelims_per_day * days if settled is None else cost_bound(settled, int(finish))
        return money - self._most_saved() + self.least_moves_money

    @property
    def least_moves_money(self) -> float:
        """What is put on the operations that can't stay as issued, whatever is chosen [money]."""
        per_move = self.issued.moved_cost if self.issued else 0.0
        return per_move * (self.bound(Aim.CHANGE) or 0.0) if per_move else 0.0

    def _changes(self) -> float:
        whole = self.workshop(self._overtime)
        settled = (t for t in whole.problem.tasks if element_of(t.key) not in self.open_to_choice)
        return float(sum(must_change(whole, task.index) for task in settled))

    def _worst_unit(self, figure: Callable[[Workshop], int | None]) -> float | None:
        """Return the highest of a figure that holds for parts: each unit with a choice at its best, and the rest."""
        worst = 0
        for elements in self.parts():
            best = self._best_of(elements, figure)
            if best is None:
                return None
            worst = max(worst, best)
        settled = self._without_choice()
        rest = 0 if settled is None else figure(settled)
        return None if rest is None else float(max(worst, rest))

    @cached_property
    def open_to_choice(self) -> set[str]:
        """The elements for which something may be chosen."""
        return {option.element for option in self.options if option.choice != OVERTIME}

    @cached_property
    def _overtime(self) -> dict[str, str]:
        """Overtime for every gang: what no bound may leave out."""
        return {option.key: option.choice for option in self.options if option.choice == OVERTIME}

    @property
    def most_saved(self) -> float:
        """The money that alternatives cheaper than the usual way can save at most."""
        return self._most_saved()

    def _most_saved(self) -> float:
        """Return the money that alternatives cheaper than the usual way can save at most."""
        least: dict[str, float] = {}
        for option in self.options:
            least[option.key] = min(least.get(option.key, 0.0), option.cost)
        return -sum(least.values())

    def of_elements(self, elements: Collection[str], chosen: Chosen) -> Workshop:
        """Return the workshop of some elements alone, done as `chosen` says."""
        return make_workshop(self._problem_of(only_elements(self.job, elements), chosen))

    def parts(self) -> list[frozenset[str]]:
        """Return the sets of elements that hang together with a choice: a unit and all that it must wait for."""
        whole = self.workshop()
        found = (elements_needed(whole.problem, unit.index) for unit in whole.problem.units)
        return list(dict.fromkeys(part for part in found if part & self.open_to_choice))

    def _without_choice(self) -> Workshop | None:
        """Return the workshop of the units that no choice touches, nor one that they wait for."""
        whole = self.workshop()
        parts = [elements_needed(whole.problem, unit.index) for unit in whole.problem.units]
        kept = {element for part in parts if not part & self.open_to_choice for element in part}
        return self.of_elements(kept, self._overtime) if kept else None

    def _best_of(self, elements: Collection[str], figure: Callable[[Workshop], int | None]) -> int | None:
        """Return the lowest of a figure for some elements alone over all ways of choosing for them.

        None where they have no place in any way; 0 where that is not sure, or there are too many ways to try.
        """
        found: list[tuple[int, int, dict[str, str]]] = []
        combined = self.combined(elements)
        if not combined:
            return 0
        for chosen in combined:
            workshop = self.of_elements(elements, chosen)
            reached = figure(workshop)
            if reached is not None:
                found.append((reached, len(chosen), chosen))
            elif not all(is_exact(workshop.problem, unit.index) for unit in workshop.problem.units):
                return 0
        if not found:
            return None
        best, _, chosen = min(found, key=lambda one: one[:2])
        self._best.update({key: way for key, way in chosen.items() if key not in self._overtime})
        return best

    def every_way(self) -> Iterator[tuple[Workshop, ...]]:
        """Yield parts of the job, each in all ways of doing it, with all overtime; parts may share forerunners.

        A part with more ways than can be tried is left out.
        """
        settled = self._without_choice()
        if settled is not None:
            yield (settled,)
        for elements in self.parts():
            combined = self.combined(elements)
            if combined:
                yield tuple(self.of_elements(elements, way) for way in combined)

    def part_in_every_way(self, elements: Collection[str], first: Chosen) -> Iterator[tuple[Chosen, Workshop]]:
        """Yield the part of the job that some elements are, alone, in each way of doing it, with all overtime.

        first: the ways most like this come first. Nothing where there are more ways than can be tried.
        """
        keys = {option.key for option in self.options if option.element in elements}

        def turns(chosen: Chosen) -> int:
            return sum(chosen.get(key) != first.get(key) for key in keys)

        for chosen in sorted(self.combined(elements), key=turns):
            yield chosen, self.of_elements(elements, chosen)

    def combined(self, elements: Collection[str], most: int = MOST_COMBINED) -> list[dict[str, str]]:
        """Return every way of choosing for some elements, with all overtime; nothing where there are too many."""
        choices = {key: ways for key, ways in self._choices().items() if element_of(key) in elements and "/" in key}
        if prod(len(ways) + 1 for ways in choices.values()) > most:
            return []
        picked = product(*([(key, None), *((key, way) for way in ways)] for key, ways in choices.items()))
        return [{**{key: way for key, way in ways if way is not None}, **self._overtime} for ways in picked]
