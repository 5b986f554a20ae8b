"""Gap curves that are not a data sheet's own: plain lags, those that never shut, those within an enclosure."""

from __future__ import annotations

from functools import lru_cache

from planner.cure.rates import opening_hours, shutting_hours
from planner.model import Enclosure, GapCurve

_COLDEST_C = -60.0
"""No clock of a plain lag stands still for cold: its one point lies at the coldest temperature a file may hold."""
_INSTANT_H = 1e-6
"""Hours that stand for "at once": a curve's hours must be more than 0."""
_NEVER_H = 24.0 * 400
"""Hours that stand for "not in this job": no job is longer."""


@lru_cache(maxsize=1024)
def constant_curve(not_before_h: float | None, not_after_h: float | None) -> GapCurve:
    """Return a plain lag as a gap whose curves are constant at every temperature; at least one end is needed."""
    return GapCurve(
        not_before=((_COLDEST_C, not_before_h),) if not_before_h else None,
        not_after=None if not_after_h is None else ((_COLDEST_C, max(not_after_h, _INSTANT_H)),),
    )


@lru_cache(maxsize=256)
def never_shut(curve: GapCurve) -> GapCurve:
    """Return the curve without its shutting end."""
    return curve.model_copy(update={"not_after": None})


def held_at(curve: GapCurve, enclosure: Enclosure | None) -> GapCurve:
    """Return the curve as a plain lag of the hours that it gives at the enclosure's temperature."""
    if enclosure is None:
        return curve
    opens_h = float(opening_hours(curve, enclosure.surface_c))
    shuts_h = float(shutting_hours(curve, enclosure.surface_c))
    return constant_curve(
        min(opens_h, _NEVER_H) if curve.not_before else None, min(shuts_h, _NEVER_H) if curve.not_after else None
    )
