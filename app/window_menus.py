"""The window's menus: what each entry is called, its key, and what it does."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction

from app.about import about_dialog, keys_dialog
from app.board.rows import Density
from app.guide import GuideDialog
from app.job_setup.new_job_dialog import ask_new_job
from app.menus import Entries, Group, Item, add_choice, add_menu
from app.paper import Paper
from app.text_size import TextSize

if TYPE_CHECKING:
    from app.window import MainWindow

_ZOOM_STEP = 1.25
PICTURES = ("pdf", "pdf_a3_tall", "pdf_a4_wide", "pdf_a4_tall", "png", "svg")
"""The actions that draw the board into a file."""


def add_menus(window: MainWindow) -> dict[str, QAction]:
    """Add all menus to the window; return its actions by name."""
    actions = {
        **add_menu(window, "&Job", _job(window)),
        **add_menu(window, "&Edit", _edit(window)),
        **add_menu(window, "&Plan", _plan(window)),
        **add_menu(window, "&View", _view(window)),
    }
    density = window.settings.density
    rows = (("", "As suits the job"), *((one.value, one.value.capitalize()) for one in Density))
    add_choice(window, "&View", "&Rows", rows, density.value if density else "", window.looks.set_density)
    looks = (("system", "As the system"), ("light", "Light"), ("dark", "Dark"))
    colours = add_choice(window, "&View", "&Colours", looks, window.settings.theme, window.looks.set_theme)
    colours.addSeparator()
    contrast = colours.addAction("&High contrast")
    contrast.setCheckable(True)
    contrast.setChecked(window.settings.high_contrast)
    contrast.toggled.connect(window.looks.set_high_contrast)
    sizes = tuple((one.value, one.value.capitalize()) for one in TextSize)
    add_choice(window, "&View", "Te&xt size", sizes, window.settings.text_size.value, window.looks.set_text_size)
    return {**actions, "contrast": contrast, **add_menu(window, "&Help", _help(window))}


def _job(window: MainWindow) -> Entries:
    return (
        Item("new", "&New …", "Ctrl+N", lambda: ask_new_job(window)),
        Item("open", "&Open …", "Ctrl+O", window.opening.choose),
        Item("reopen", "Read it &again", "Ctrl+R", window.opening.again),
        None,
        Item("save", "&Save job", "Ctrl+S", window.saver.save_job),
        Item("save_as", "Save &job as …", "Ctrl+Alt+S", window.saver.save_job_as),
        Item("open_plan", "Open p&lan …", "Ctrl+Shift+O", window.plan_opening.choose),
        Item("save_plan", "Save &plan as …", "Ctrl+Shift+S", window.saver.save_plan),
        Group("Board as &PDF", _papers(window)),
        Item("png", "Board as &image …", "Ctrl+Shift+P", lambda: window.saver.export("png")),
        Item("svg", "Board as S&VG …", "Ctrl+Alt+P", lambda: window.saver.export("svg")),
        None,
        Item("quit", "&Quit", "Ctrl+Q", window.close),
    )


def _papers(window: MainWindow) -> tuple[Item, ...]:
    """Return the papers that the board can be printed on; the first has the usual name and key."""

    def on(paper: Paper, name: str, key: str = "") -> Item:
        return Item(name, f"Board as PDF, {paper.value} …", key, lambda: window.saver.export("pdf", paper))

    return (
        on(Paper.A3_WIDE, "pdf", "Ctrl+P"),
        on(Paper.A3_TALL, "pdf_a3_tall"),
        on(Paper.A4_WIDE, "pdf_a4_wide"),
        on(Paper.A4_TALL, "pdf_a4_tall"),
    )


def _edit(window: MainWindow) -> tuple[Item | None, ...]:
    return (
        Item("undo", "&Undo", "Ctrl+Z", window.runs.undo),
        Item("redo", "&Redo", "Ctrl+Shift+Z", window.mover.stack.redo),
        None,
        Item("find", "&Find …", "Ctrl+F", window.seeker.find),
        Item("find_next", "Find &next", "F3", lambda: window.seeker.go(True)),
        Item("find_before", "Find the one &before", "Shift+F3", lambda: window.seeker.go(False)),
        Item("filter", "Fi&lter the board …", "Ctrl+Shift+F", window.seeker.choose_filter),
    )


def _plan(window: MainWindow) -> tuple[Item | None, ...]:
    return (
        Item("plan", "&Plan", "F5", window.plan),
        Item("aims", "What to plan &for …", "Ctrl+F5", window.aims.ask),
        Item("terms", "What it &comes to …", "Ctrl+Shift+F5", window.aims.terms.show),
        Item("mend", "&Mend the rest", "F7", window.runs.mend),
        Item("stop", "&Stop, keep the best", "Shift+F5", window.planning.cancel),
        None,
        Item("issue", "&Issue this programme …", "Ctrl+I", window.issuing.ask),
    )


def _view(window: MainWindow) -> tuple[Item | None, ...]:
    return (
        Item("board", "&Board", "Ctrl+1", lambda: window.views.show("board")),
        *(
            Item(name, words, f"Ctrl+{number}", partial(window.views.show, name))
            for number, (name, words) in enumerate(window.view_words, start=2)
        ),
        None,
        Item("in", "Zoom &in", "Ctrl++", lambda: window.board and window.board.zoom(_ZOOM_STEP)),
        Item("out", "Zoom &out", "Ctrl+-", lambda: window.board and window.board.zoom(1 / _ZOOM_STEP)),
        Item("fit", "All &work in view", "Ctrl+0", lambda: window.board and window.board.fit()),
        None,
        Item("fold", "&Fold all", "", lambda: window.board and window.board.fold_all(True)),
        Item("unfold", "&Unfold all", "", lambda: window.board and window.board.fold_all(False)),
        Item("stood", "Show where it &stood\tG", "", window.hands.stood.turn),
        Item("legend", "&Legend", "Ctrl+L", window.looks.turn_legend),
        Item("ribbons", "&Temperatures, rain and dew", "Ctrl+T", window.looks.turn_ribbons),
        Item("next", "Next &panel", "F6", window.looks.next_panel),
    )


def _help(window: MainWindow) -> tuple[Item | None, ...]:
    return (
        Item("guide", "&Guide", "Shift+F1", lambda: GuideDialog(window).show()),
        Item("keys", "&Keys", "F1", lambda: keys_dialog(window).open()),
        Item("about", "&About and cautions", "", lambda: about_dialog(window).open()),
    )
