"""The choice of whose limits the chart draws: the selected operation's, or a product's; no Qt."""

from __future__ import annotations

from app.session import Session
from app.weather.chart_data import ChosenLimits, has_limits


def operation_limits(session: Session, key: str) -> ChosenLimits | None:
    """Return the limits of an operation, or None where there is no such operation."""
    operation = session.operation(key)
    if operation is None:
        return None
    words = f"{operation.name} ({operation.element})"
    return ChosenLimits(words, operation.conditions, operation.element)


def product_limits(session: Session) -> tuple[ChosenLimits, ...]:
    """Return the limits of the products that the job's operations use, by name, each once."""
    used = {operation.product for operation in session.work.operations if operation.product}
    products = sorted((session.loaded.job.product(id) for id in used), key=lambda product: product.name)
    found = [ChosenLimits(product.name, product.conditions) for product in products]
    return tuple(one for one in found if has_limits(one))
