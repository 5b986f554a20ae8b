"""The sample jobs that came with the program, each with what it teaches. No Qt."""

from __future__ import annotations

from pathlib import Path

_TEACHES = {
    "three_coats": "Start here: one plinth, three coats, two gaps; every time can be checked by hand.",
    "harrow_beck_viaduct": "The main job: a viaduct, all six methods, closures by night, a cold snap in April.",
    "cold_night_patch": "Two raw nights on the road: rapid mortar, and the lane given back by morning.",
    "frost_week": "A week of frost in the middle: what goes in before it, and what must wait.",
    "saltbush_wash": "A hot, dry place: gaps that shut early, work before dawn and in the evening.",
    "plated_slot": "A joint under steel plates: a pinned first night, a hold point with two days' notice.",
    "kerb_and_jackets_with_slips": "A file with eight slips in it: all are listed at once, each with its line.",
}


def sample_jobs() -> tuple[Path, ...]:
    """Return the sample jobs, the one to start with first, if they are there."""
    folder = Path(__file__).resolve().parent.parent / "sample_jobs"
    order = list(_TEACHES)
    found = folder.glob("*.toml") if folder.is_dir() else ()
    return tuple(sorted(found, key=lambda path: (_place(order, path.stem), path.stem)))


def teaching_of(path: Path) -> str:
    """Return what a sample job teaches; "" of any other file."""
    return _TEACHES.get(path.stem, "") if path.parent.name == "sample_jobs" else ""


def _place(order: list[str], stem: str) -> int:
    return order.index(stem) if stem in order else len(order)
