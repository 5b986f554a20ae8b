"""What the board's keys mean."""

from __future__ import annotations

from enum import Enum

from PySide6.QtCore import Qt

from app.board.hit import Way


class Zoom(Enum):
    """A change of scale."""

    IN = "in"
    OUT = "out"
    FIT = "fit"


class Step(Enum):
    """A scroll, or something done to the selected bar."""

    PAGE_UP = "page up"
    PAGE_DOWN = "page down"
    JOB_START = "job start"
    JOB_END = "job end"
    PAN_LEFT = "pan left"
    PAN_RIGHT = "pan right"
    ENTER = "enter"
    FOLD = "fold"
    NOTHING = "nothing"
    MORE_UP = "choose up"
    MORE_DOWN = "choose down"
    MORE_FIRST = "choose to the first"
    MORE_LAST = "choose to the last"
    EARLIER = "earlier"
    LATER = "later"
    PIN = "pin"
    STOOD = "stood"
    OFFERS = "offers"
    MENU = "menu"


_Key = Qt.Key
_PLAIN: dict[int, Way | Zoom | Step] = {
    _Key.Key_Left: Way.LEFT,
    _Key.Key_Right: Way.RIGHT,
    _Key.Key_Up: Way.UP,
    _Key.Key_Down: Way.DOWN,
    _Key.Key_Home: Way.FIRST,
    _Key.Key_End: Way.LAST,
    _Key.Key_Plus: Zoom.IN,
    _Key.Key_Equal: Zoom.IN,
    _Key.Key_Minus: Zoom.OUT,
    _Key.Key_0: Zoom.FIT,
    _Key.Key_PageUp: Step.PAGE_UP,
    _Key.Key_PageDown: Step.PAGE_DOWN,
    _Key.Key_Return: Step.ENTER,
    _Key.Key_Enter: Step.ENTER,
    _Key.Key_Space: Step.FOLD,
    _Key.Key_Escape: Step.NOTHING,
    _Key.Key_P: Step.PIN,
    _Key.Key_G: Step.STOOD,
    _Key.Key_C: Step.OFFERS,
    _Key.Key_Menu: Step.MENU,
}
_WITH_CONTROL: dict[int, Way | Zoom | Step] = {
    _Key.Key_Left: Step.PAN_LEFT,
    _Key.Key_Right: Step.PAN_RIGHT,
    _Key.Key_Home: Step.JOB_START,
    _Key.Key_End: Step.JOB_END,
}
_WITH_SHIFT: dict[int, Way | Zoom | Step] = {
    _Key.Key_Left: Step.EARLIER,
    _Key.Key_Right: Step.LATER,
    _Key.Key_Up: Step.MORE_UP,
    _Key.Key_Down: Step.MORE_DOWN,
    _Key.Key_Home: Step.MORE_FIRST,
    _Key.Key_End: Step.MORE_LAST,
}
MORE = {
    Step.MORE_UP: Way.UP,
    Step.MORE_DOWN: Way.DOWN,
    Step.MORE_FIRST: Way.FIRST,
    Step.MORE_LAST: Way.LAST,
}
"""The steps that choose more bars, each with the way in which."""

KEY_HELP: tuple[tuple[str, str], ...] = (
    ("← → ↑ ↓", "next bar along the row, nearest bar in the next row"),
    ("Home, End", "first and last bar of the row"),
    ("Shift+← Shift+→", "move what is chosen by a quarter of an hour; Ctrl+Z takes it back"),
    ("Shift+↑ Shift+↓", "choose the nearest bar in the next row too"),
    ("Shift+Home Shift+End", "choose all bars of the row from the selected one to its first, to its last"),
    ("Ctrl+click, Shift+click", "choose one bar more or less; all from the selected bar to this one"),
    ("Shift+drag beside bars", "choose all bars in a frame; what is chosen is dragged, nudged and pinned together"),
    ("Drag a bar", "move it; starts that break no rule light up along its row, Esc puts it back"),
    ("+  −  0", "zoom in, zoom out, all work in view"),
    ("P", "pin the selected bar where it stands, or unpin it"),
    ("C", "change its gang, or the way it is done: each with what would come of it"),
    ("G", "outline where the work stood before the last step, or as last issued; again: no outlines"),
    ("Menu key, right click", "what else can be done with it"),
    ("Wheel", "zoom about the pointer; with Shift sideways, with Alt or over the names up and down"),
    ("Page Up, Page Down", "scroll the rows"),
    ("Ctrl+← Ctrl+→", "scroll in time; Ctrl+Home and Ctrl+End to the ends of the job"),
    ("Space", "a line for each operation of the selected element"),
    ("Enter", "to the details; Esc selects nothing"),
)
"""The board's keys for people."""


def meaning(key: int, modifiers: Qt.KeyboardModifier) -> Way | Zoom | Step | None:
    """Return what a key means on the board, or None."""
    if modifiers & Qt.KeyboardModifier.ControlModifier:
        return _WITH_CONTROL.get(key)
    if modifiers & Qt.KeyboardModifier.ShiftModifier and key in _WITH_SHIFT:
        return _WITH_SHIFT[key]
    return _PLAIN.get(key)
