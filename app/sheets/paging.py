"""Divides blocks over pages: none is cut, no heading is left alone at the foot, a table's head is repeated."""

from __future__ import annotations

from collections.abc import Sequence

from app.sheets.marks import Block

Page = tuple[tuple[float, Block], ...]
"""Blocks with the y at which each begins."""


def divide(blocks: Sequence[Block], height: float) -> tuple[Page, ...]:
    """Return the pages, each of the `height` given; a block taller than that has a page of its own."""
    pages: list[list[tuple[float, Block]]] = [[]]
    y = 0.0
    for number, block in enumerate(blocks):
        if pages[-1] and y + _with_next(blocks, number) > height:
            pages.append([])
            y = 0.0
            for head in block.head:
                pages[-1].append((y, head))
                y += head.height
        pages[-1].append((y, block))
        y += block.height
    return tuple(tuple(page) for page in pages)


def _with_next(blocks: Sequence[Block], number: int) -> float:
    """Return the height of a block with those that it must not be parted from."""
    height = blocks[number].height
    while blocks[number].keep and number + 1 < len(blocks):
        number += 1
        height += blocks[number].height
    return height
