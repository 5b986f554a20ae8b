"""What the window takes up where it was left: panels, the view of each job, and the board's place in time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter, QWidget

from app.job_looks import JobLook
from app.plan_for import PlanFor, plan_for_from, plan_for_text

if TYPE_CHECKING:
    from app.window import MainWindow

_LEAST_PX = 40


def keep_look(window: MainWindow) -> None:
    """Keep how the open job is looked at."""
    if window.session is None or window.board is None:
        return
    px, first = window.board.place or (0.0, 0.0)
    path = str(window.session.loaded.path.resolve())
    window.settings.keep_look(
        path, JobLook(window.header.views.current, px, first, plan_for_text(window.header.wanted))
    )


def restore_look(window: MainWindow) -> None:
    """Look at the open job as it was looked at last."""
    if window.session is None or window.board is None:
        return
    look = window.settings.look_of(str(window.session.loaded.path.resolve()))
    window.header.wanted = plan_for_from(look.plan_for) or PlanFor()
    if look.px:
        window.board.go_to_place(look.px, look.first)
    window.views.show(look.view if look.view in window.views.names else "board")


def keep_panes(window: MainWindow) -> None:
    """Keep the sizes of all panels that have been seen."""
    panes = window.settings.panes
    for name, splitter in _splitters(window):
        if splitter.width() > _LEAST_PX and splitter.isVisible() and not _lacks_part(splitter):
            panes[name] = splitter.sizes()
    window.settings.panes = panes


def restore_panes(window: MainWindow) -> None:
    """Give all panels the sizes that they had, but where a part would have less than it needs."""
    panes = window.settings.panes
    for name, splitter in _splitters(window):
        sizes = panes.get(name, ())
        if len(sizes) == splitter.count() and sum(sizes) > _LEAST_PX and not _is_too_narrow(splitter, sizes):
            splitter.setSizes(panes[name])


def _parts(splitter: QSplitter) -> list[QWidget]:
    parts = (splitter.widget(number) for number in range(splitter.count()))
    return [part for part in parts if part is not None]


def _lacks_part(splitter: QSplitter) -> bool:
    """Say whether a part is hidden for now, and the others have its room."""
    return any(part.isHidden() for part in _parts(splitter))


def _is_too_narrow(splitter: QSplitter, sizes: Sequence[int]) -> bool:
    """Say whether sizes leave a part less than its least."""
    parts = _parts(splitter)
    across = splitter.orientation() is Qt.Orientation.Horizontal
    least = [part.minimumWidth() if across else part.minimumHeight() for part in parts]
    return any(size < max(_LEAST_PX, needed) for size, needed in zip(sizes, least, strict=True))


def _splitters(window: MainWindow) -> list[tuple[str, QSplitter]]:
    """Return all handles with names that stay the same from run to run."""
    pages = {"board": window.split, **window.pages}
    found = []
    for name, page in pages.items():
        inside = page.findChildren(QSplitter)
        found += [(f"{name}/{number}", splitter) for number, splitter in enumerate(inside)]
    return found
