"""Blocks over pages: in order, none cut, headings kept with what they head, table heads repeated."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from app.sheets.marks import Block, Words
from app.sheets.paging import divide


def block(name: str, height: float, keep: bool = False, head: tuple[Block, ...] = ()) -> Block:
    return Block(height, (Words(0, 0, name),), keep, head)


def names(page) -> list[str]:
    return [one.marks[0].text for _, one in page]


def test_a_heading_goes_with_what_it_heads() -> None:
    pages = divide([block("a", 80), block("heading", 10, keep=True), block("b", 20)], 100)
    assert [names(page) for page in pages] == [["a"], ["heading", "b"]]


def test_a_table_s_head_is_repeated() -> None:
    head = block("head", 10, keep=True)
    rows = [block(f"row {number}", 40, head=(head,)) for number in range(4)]
    pages = divide([head, *rows], 100)
    assert [names(page) for page in pages] == [["head", "row 0", "row 1"], ["head", "row 2", "row 3"]]
    assert [y for y, _ in pages[1]] == [0, 10, 50]


def test_a_block_taller_than_a_page_has_its_own() -> None:
    pages = divide([block("a", 10), block("tall", 300), block("b", 10)], 100)
    assert [names(page) for page in pages] == [["a"], ["tall"], ["b"]]


@settings(max_examples=100, deadline=None)
@given(heights=st.lists(st.floats(1, 100), min_size=1, max_size=60))
def test_every_block_once_in_order_and_inside_its_page(heights: list[float]) -> None:
    pages = divide([block(str(number), height) for number, height in enumerate(heights)], 100)
    assert [name for page in pages for name in names(page)] == [str(number) for number in range(len(heights))]
    for page in pages:
        assert all(y + one.height <= 100 + 1e-6 for y, one in page)
