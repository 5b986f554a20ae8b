"""What is under the pointer, what it says, and where the arrow keys lead."""

from __future__ import annotations

from app.board.display import Display
from app.board.facts import initials
from app.board.geometry import Scale
from app.board.hit import Hit, Place, Way, hit, place_of, step
from app.board.rows import Density, Folding
from app.board.words import exposure_words, gap_words, visit_words, words_of
from tests.app.cases import letter_width, small_facts

FACTS = small_facts()
SHOWN = Display(FACTS, Scale(4.0), Folding(), Density.TALL, letter_width)
ROW = SHOWN.everything()


def at(x: float, y: float) -> Hit:
    found = hit(SHOWN, x, y)
    assert found is not None
    return found


def test_a_bar_is_hit_inside_and_a_little_beside_it() -> None:
    bar = ROW[1].bars.shapes[0]
    middle = bar.y + bar.height / 2
    for x in (bar.x0, (bar.x0 + bar.x1) / 2, bar.x1 + 2):
        assert at(x, middle).bar == bar
    assert at(bar.x0 - 8, middle).bar is None


def test_a_gap_is_hit_on_its_thread_and_its_band() -> None:
    tail = ROW[1].tails.shapes[0]
    assert at(70, tail.y).tail == tail.tail
    assert at(100, tail.y).tail == tail.tail
    assert at(200, tail.spare_y).tail == tail.tail
    assert at(200, tail.y).tail != tail.tail


def test_an_exposed_stretch_is_hit_over_its_row() -> None:
    shape = ROW[2].exposures.shapes[0]
    assert at(400, shape.y).exposure == shape.exposure


def test_below_the_last_row_there_is_nothing() -> None:
    assert hit(SHOWN, 10, SHOWN.rows.height + 5) is None


def test_the_words_of_a_bar() -> None:
    coat = FACTS.rows[0].children[0].visits[1]
    assert visit_words(FACTS, coat) == [
        "Coat – Element E1",
        "Coating gang: Mon 24 Mar 08:00–10:00",
        "Surface 9.5 to 11.3 °C",
        "Gap after Prime: opens Mon 24 Mar 05:00, shuts Mon 24 Mar 15:00",
        "Spare 3 h after it opens, 7 h before it shuts",
    ]


def test_the_words_of_a_missed_gap_and_of_a_hold_point() -> None:
    missed = FACTS.rows[0].children[0].tails[1]
    assert gap_words(FACTS, missed)[1] == "Missed by 2 h 30 min"
    hold = FACTS.rows[0].children[1].visits[1]
    assert "Hold point: someone must release it" in visit_words(FACTS, hold)


def test_the_words_of_an_exposed_stretch() -> None:
    assert exposure_words(FACTS, FACTS.rows[0].children[1].exposures[0]) == (
        "Joint out: exposed Mon 24 Mar 21:00 – Tue 25 Mar 02:00\nCones lift from 04:00: 2 h to spare"
    )


def test_merged_bars_say_how_many_they_are() -> None:
    tiny = Display(FACTS, Scale(0.01), Folding(), Density.TALL, letter_width)
    bar = tiny.everything()[1].bars.shapes[0]
    assert words_of(FACTS, Hit(FACTS.rows[0].children[0], bar=bar)).startswith("3 visits")


def test_arrows_lead_along_the_row_and_to_the_nearest_bar_in_the_next() -> None:
    first = step(SHOWN, None, Way.RIGHT)
    assert first is not None
    assert first.visit.key == "E1/prime"
    keys = [first.visit.key]
    here: Place | None = first
    for way in (Way.RIGHT, Way.RIGHT, Way.RIGHT, Way.DOWN, Way.FIRST, Way.LAST, Way.UP, Way.LEFT, Way.UP):
        here = step(SHOWN, here, way)
        assert here is not None
        keys.append(here.visit.key)
    assert keys == [
        "E1/prime", "E1/coat", "E1/top", "E1/top", "E2/set", "E2/saw", "E2/set", "E1/top", "E1/coat", "E1/coat",
    ]  # fmt: skip


def test_a_folded_bar_has_no_place() -> None:
    folded = Display(FACTS, Scale(4.0), Folding(frozenset({"S"})), Density.TALL, letter_width)
    assert place_of(folded, "E1/coat") is None
    assert place_of(SHOWN, "E1/coat") is not None
    assert step(folded, None, Way.RIGHT) is None


def test_gangs_get_different_initials() -> None:
    assert initials(("Mortar gang", "Machine gang", "Mesh", "A", "A", "A")) == ("M", "G", "E", "A", "5", "6")
    assert len(set(initials(tuple(f"Gang {n}" for n in range(1, 12))))) == 11
