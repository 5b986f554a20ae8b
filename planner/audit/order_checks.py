"""Nothing starts before what it follows has finished, by methods and by links."""

from __future__ import annotations

from collections.abc import Iterator

from planner.audit.case import Case
from planner.findings import Finding


def check(case: Case) -> Iterator[Finding]:
    """Yield every operation that starts before one that it follows has finished."""
    for order in case.side.orders:
        if not case.touches(order.earlier, order.later) or not case.planned(order.earlier, order.later):
            continue
        finish, start = case.finish(order.earlier), case.start(order.later)
        if start < finish:
            yield Finding(
                "link-order" if order.linked else "order",
                order.later,
                f"{case.called(order.later)} after {case.called(order.earlier)}, finished at {case.at(finish)}",
                f"a start at {case.at(start)}",
                start,
                remedy=order.reason,
            )
