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
        called = case.called(order.earlier)
        finish, start = case.minute(order.earlier, "finish"), case.minute(order.later, "start")
        if start < finish:
            yield Finding(
                "link-order" if order.linked else "order",
                order.later,
                f"{case.called(order.later)} after {called}, finished at {case.at_minute(finish)}",
                f"a start at {case.at_minute(start)}",
                case.start(order.later),
                remedy=order.reason,
            )
