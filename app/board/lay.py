"""Lays out one row: bars side by side, tails behind them, exposed stretches over them, labels where there is room."""

from __future__ import annotations

from collections.abc import Sequence

from app.board.clock import clock
from app.board.facts import Exposure, RowKind, Tail, TailState, Visit
from app.board.geometry import Scale
from app.board.labels import elide, place_labels
from app.board.rows import RowBox
from app.board.shapes import (
    BarShape,
    ExposureShape,
    JoinShape,
    LabelShape,
    Measure,
    RowShapes,
    TailShape,
    spread,
)
from planner.units import SiteTime

LEAST_BAR_PX = 1.0
"""Bars narrower than this are merged with their neighbours."""
_BAND = 8.0
_TRACK_OFFSETS = (0.0, -5.5, 5.5)
_WORST = {TailState.MET: 0, TailState.EARLY: 1, TailState.LATE: 2}


def lay_row(box: RowBox, scale: Scale, time: SiteTime, measure: Measure) -> RowShapes:
    """Return all shapes of one row at this scale."""
    row, top = box.row, box.top + box.shift
    visits = sorted(_visits(box), key=lambda visit: (visit.start, visit.finish))
    bars = _bars(box, visits, scale, {tail.before: tail.state for tail in row.tails})
    exposures = [_exposure(item, scale, box.top + 10) for item in row.exposures]
    labels = place_labels(bars, box.style, top, measure) if row.kind is RowKind.ELEMENT else []
    labels += _deadlines(exposures, time, measure, box) if box.shift else []
    return RowShapes(
        box,
        spread(bars),
        spread(_joins(bars)),
        spread(_tails(box, row.tails, scale)),
        spread(exposures if box.shift else []),
        spread(labels),
    )


def _visits(box: RowBox) -> Sequence[Visit]:
    """A structure's heading shows the bars of all its elements as a summary of what is folded away."""
    row = box.row
    if row.kind is RowKind.STRUCTURE:
        return () if box.open else [visit for child in row.children for visit in child.visits]
    return row.visits


def _bars(box: RowBox, visits: Sequence[Visit], scale: Scale, states: dict[str, TailState]) -> list[BarShape]:
    if box.row.kind is RowKind.STRUCTURE:
        if box.open:
            return []
        height, top = 8.0, box.top + box.style.bar_top
        flat = [BarShape(scale.x(v.start), scale.x(v.finish), top, height, v, hold=v.hold) for v in visits]
        return _merged(flat)
    bars: list[BarShape] = []
    top = box.top + box.shift + box.style.bar_top
    for cluster in _clusters(visits):
        lanes = _lanes(cluster)
        count = max(lanes) + 1
        each = box.style.bar_height / count
        for visit, lane in zip(cluster, lanes, strict=True):
            state = states.get(visit.key, TailState.MET) if visit.number == 1 else TailState.MET
            left, right = scale.x(visit.start), scale.x(visit.finish)
            height = each - (1.0 if count > 1 else 0.0)
            y, reopens = top + lane * each, visit.holds_reopening
            bars.append(BarShape(left, right, y, height, visit, hold=visit.hold, reopens=reopens, state=state))
    return _merged(bars)


def _clusters(visits: Sequence[Visit]) -> list[list[Visit]]:
    """Return sorted visits in groups that overlap in time."""
    clusters: list[list[Visit]] = []
    reach = -1
    for visit in visits:
        if not clusters or visit.start >= reach:
            clusters.append([])
        clusters[-1].append(visit)
        reach = max(reach, visit.finish) if len(clusters[-1]) > 1 else visit.finish
    return clusters


def _lanes(cluster: Sequence[Visit]) -> list[int]:
    """Return for each visit of a cluster the first line on which it overlaps nothing."""
    if len(cluster) == 1:
        return [0]
    ends: list[int] = []
    lanes: list[int] = []
    for visit in cluster:
        lane = next((i for i, end in enumerate(ends) if end <= visit.start), len(ends))
        if lane == len(ends):
            ends.append(0)
        ends[lane] = visit.finish
        lanes.append(lane)
    return lanes


def _merged(bars: Sequence[BarShape]) -> list[BarShape]:
    """Return bars with those under a pixel joined to the one before; the worst of each group stays visible."""
    merged: list[BarShape] = []
    for bar in bars:
        last = merged[-1] if merged else None
        small = bar.x1 - bar.x0 < LEAST_BAR_PX
        if last is not None and small and bar.y == last.y and bar.x1 - last.x0 < 2 * LEAST_BAR_PX:
            merged[-1] = _joined(last, bar)
        else:
            merged.append(bar)
    return merged


def _joined(last: BarShape, bar: BarShape) -> BarShape:
    worst = max(last, bar, key=lambda shape: (_WORST[shape.state], shape.hold))
    return BarShape(
        x0=last.x0,
        x1=max(last.x1, bar.x1),
        y=last.y,
        height=last.height,
        visit=worst.visit,
        merged=last.merged + bar.merged,
        hold=last.hold or bar.hold,
        reopens=last.reopens or bar.reopens,
        state=worst.state,
    )


def _joins(bars: Sequence[BarShape]) -> list[JoinShape]:
    """Return the lines from each visit of an operation to its next."""
    joins: list[JoinShape] = []
    last: dict[str, BarShape] = {}
    for bar in bars:
        before = last.get(bar.visit.key)
        if before is not None and bar.merged == 1 and bar.x0 > before.x1:
            joins.append(JoinShape(before.x1, bar.x0, bar.y + bar.height - 3, bar.visit.gang))
        last[bar.visit.key] = bar
    return joins


def _tails(box: RowBox, tails: Sequence[Tail], scale: Scale) -> list[TailShape]:
    """Return the tails; those that overlap in time are drawn thinner, beside each other."""
    if box.row.kind is RowKind.STRUCTURE:
        return []
    middle = float(round(box.top + box.shift + box.style.bar_top + box.style.bar_height / 2))
    spare = box.top + box.shift + box.style.spare_y
    band = min(_BAND, box.style.bar_height - 5)
    ends: list[float] = []
    shapes: list[TailShape] = []
    for tail in sorted(tails, key=lambda item: (item.anchor, item.planned)):
        shape = _tail(tail, scale, middle, spare, band)
        if shape.x1 - shape.x0 < LEAST_BAR_PX and tail.state is TailState.MET:
            continue
        track = next((i for i, end in enumerate(ends) if end <= shape.x0 + 1), len(ends))
        if track == len(ends):
            ends.append(0.0)
        ends[track] = max(shape.planned, shape.opens or shape.x0)
        shapes.append(_on_track(shape, track) if track else shape)
    return shapes


def _tail(tail: Tail, scale: Scale, middle: float, spare: float, band: float) -> TailShape:
    opens = None if tail.opens is None else scale.x(tail.opens)
    shuts = None if tail.shuts is None else scale.x(tail.shuts)
    anchor, planned = scale.x(tail.anchor), scale.x(tail.planned)
    first, last = (anchor, planned) if anchor <= planned else (planned, anchor)
    for x in (opens, shuts):
        if x is not None:
            first, last = x if x < first else first, x if x > last else last
    return TailShape(first, last, middle, band, spare, anchor, opens, shuts, planned, tail)


def _on_track(shape: TailShape, track: int) -> TailShape:
    offset = _TRACK_OFFSETS[track % len(_TRACK_OFFSETS)] * (1.0 if shape.thickness > 5 else 0.5)
    return shape._replace(y=shape.y + offset, thickness=3.0)


def _exposure(exposure: Exposure, scale: Scale, y: float) -> ExposureShape:
    deadline = None if exposure.deadline is None else scale.x(exposure.deadline)
    finish = scale.x(exposure.finish)
    end = finish if deadline is None else max(finish, deadline)
    return ExposureShape(scale.x(exposure.start), end, y, finish, deadline, exposure)


def _deadlines(shapes: Sequence[ExposureShape], time: SiteTime, measure: Measure, box: RowBox) -> list[LabelShape]:
    """Return the words at the end of each exposed stretch: by when the cones must start to lift."""
    labels: list[LabelShape] = []
    ordered = sorted(shapes, key=lambda shape: shape.x0)
    for number, shape in enumerate(ordered):
        if shape.exposure.deadline is None:
            continue
        following = ordered[number + 1].x0 if number + 1 < len(ordered) else float("inf")
        x = shape.x1 + 7
        full = f"clear by {clock(time, shape.exposure.deadline)}"
        text = elide(full, following - x - 6, measure)
        if text:
            labels.append(LabelShape(x, x + measure(text), box.top + 2, text, full, strong=True))
    return labels
