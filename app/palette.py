"""Turns a theme into Qt's palette and the few lines of style that the widgets need."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette

from app.high_contrast import HIGH_CONTRAST
from app.theme import DARK, LIGHT, Theme
from app.wrapped_cells import CELL_EDGE_PX

_CONTRAST = {theme.name for theme in HIGH_CONTRAST.values()}


def theme_for(choice: str, high_contrast: bool = False) -> Theme:
    """Return the theme of the settings; "system" follows the desktop's own light or dark."""
    dark = choice == "dark"
    if choice == "system":
        dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    quiet = DARK if dark else LIGHT
    return HIGH_CONTRAST[quiet.name] if high_contrast else quiet


def make_palette(theme: Theme) -> QPalette:
    """Return Qt's palette of a theme."""
    roles = QPalette.ColorRole
    colours = {
        roles.Window: theme.panel,
        roles.WindowText: theme.ink,
        roles.Base: theme.raised,
        roles.AlternateBase: theme.stripe,
        roles.Text: theme.ink,
        roles.Button: theme.raised,
        roles.ButtonText: theme.ink,
        roles.BrightText: theme.breach,
        roles.Highlight: theme.accent,
        roles.HighlightedText: theme.on_accent,
        roles.ToolTipBase: theme.raised,
        roles.ToolTipText: theme.ink,
        roles.PlaceholderText: theme.soft,
        roles.Link: theme.accent,
        roles.LinkVisited: theme.accent,
        roles.Light: theme.raised,
        roles.Midlight: theme.stripe,
        roles.Mid: theme.faint,
        roles.Dark: theme.faint,
        roles.Shadow: theme.soft,
    }
    palette = QPalette()
    for role, colour in colours.items():
        palette.setColor(role, QColor(colour))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(off_colour(theme)))
    return palette


def off_colour(theme: Theme) -> str:
    """Return the colour of words on what can't be used now: in high contrast paler, as all other words are strong."""
    return theme.faint if theme.name in _CONTRAST else theme.soft


FIELDS = ("QComboBox", "QAbstractSpinBox", "QCheckBox", "QRadioButton", "QTableView")
"""Kinds of widgets that the style draws a line round."""
_DARKER_PCT = 140
"""The style (Fusion) draws such lines in the colour of the window, darkened by so much."""


def field_palette(theme: Theme) -> QPalette:
    """Return the palette of what can be chosen from: as the theme's, with a line that stands out."""
    palette = make_palette(theme)
    palette.setColor(QPalette.ColorRole.Window, QColor(theme.field).lighter(_DARKER_PCT))
    return palette


def style_sheet(theme: Theme, scale: float = 1.0) -> str:
    """Return the style of the window's own parts: flat, ruled with hairlines, one accent; `scale` of the text."""
    parts = (_words_style, _button_style, _list_style, _bar_style)
    return "".join(part(theme, scale) for part in parts)


def _words_style(theme: Theme, scale: float) -> str:
    return f"""
    QWidget#header {{ background: {theme.panel}; border-bottom: 1px solid {theme.faint}; }}
    QWidget#side {{ background: {theme.panel}; border-left: 1px solid {theme.faint}; }}
    QFrame#seek {{ background: {theme.panel}; border: none; border-bottom: 1px solid {theme.faint}; }}
    QFrame#seek[on="true"] {{ background: {theme.picked}; border-left: 4px solid {theme.accent}; }}
    QLabel#job {{ font-size: {round(15 * scale)}px; font-weight: bold; color: {theme.ink}; }}
    QLabel#status, QLabel#quiet {{ color: {theme.soft}; }}
    QLabel#changed {{ color: {theme.advice}; font-weight: bold; }}
    QLabel#panelTitle {{ font-weight: bold; color: {theme.ink}; }}
    QLabel#bad {{ color: {theme.breach}; font-weight: bold; }}
    QFrame#banner {{ background: {theme.raised}; border: none; border-left: 4px solid {theme.breach};
        border-bottom: 1px solid {theme.faint}; }}
    QFrame#notice {{ background: {theme.raised}; border: none; border-left: 4px solid {theme.accent};
        border-bottom: 1px solid {theme.faint}; }}
    QTextBrowser#bannerWords, QTextBrowser#bannerWords:focus {{ background: {theme.raised}; border: none; }}
    """


def _button_style(theme: Theme, scale: float) -> str:
    tall, across, down = round(18 * scale), round(12 * scale), round(4 * scale)
    off, line = off_colour(theme), f"1px {'dashed' if theme.name in _CONTRAST else 'solid'} {theme.faint}"
    return f"""
    QPushButton {{ background: {theme.raised}; color: {theme.ink}; border: 1px solid {theme.faint};
        border-radius: 4px; padding: {down}px {across}px; min-height: {tall}px; }}
    QPushButton:hover {{ border-color: {theme.accent}; }}
    QPushButton:focus {{ border: 2px solid {theme.accent}; padding: {down - 1}px {across - 1}px; }}
    QComboBox, QSpinBox, QDoubleSpinBox {{ min-height: {tall + 4}px; }}
    QLineEdit {{ min-height: {tall}px; }}
    QLineEdit:disabled {{ color: {off}; border: {line}; }}
    QLineEdit, QPlainTextEdit {{ background: {theme.raised}; border: 1px solid {theme.field}; border-radius: 3px;
        padding: 2px 4px; selection-background-color: {theme.accent}; selection-color: {theme.on_accent}; }}
    QLineEdit:focus, QPlainTextEdit:focus {{ border: 1px solid {theme.accent}; }}
    QLineEdit[refused="true"] {{ border: 1px solid {theme.breach}; }}
    QLineEdit[refused="true"]:focus {{ border: 2px solid {theme.breach}; padding: 1px 3px; }}
    QAbstractSpinBox QLineEdit, QComboBox QLineEdit {{ border: none; padding: 0px; }}
    QCheckBox::indicator, QRadioButton::indicator {{ width: {round(14 * scale)}px; height: {round(14 * scale)}px; }}
    QPushButton:checked {{ background: {theme.picked}; border-color: {theme.accent}; }}
    QPushButton:disabled {{ color: {off}; background: {theme.panel}; border: {line}; }}
    QPushButton#main {{ background: {theme.accent}; color: {theme.on_accent}; border-color: {theme.accent};
        font-weight: bold; }}
    QPushButton#main:disabled {{ background: {theme.panel}; color: {off}; border: {line}; }}
    QPushButton#main:focus {{ border: 2px solid {theme.ink}; }}
    QPushButton#touch, QPushButton#touchMain {{ min-height: {max(36, 2 * tall)}px; }}
    QPushButton#touch:focus, QPushButton#touchMain:focus {{ border: 2px solid {theme.accent};
        padding: {down - 1}px {across - 1}px; }}
    QPushButton#touchMain {{ background: {theme.accent}; color: {theme.on_accent}; border-color: {theme.accent};
        font-weight: bold; }}
    QPushButton#touchMain:disabled {{ background: {theme.panel}; color: {off}; border: {line}; }}
    QPushButton#touchMain:focus {{ border: 2px solid {theme.ink}; }}
    QLineEdit#touch, QComboBox#touch {{ min-height: {max(40, 2 * tall + 4)}px; }}
    QPushButton#view {{ border: none; border-bottom: 3px solid transparent; border-radius: 0;
        background: {theme.panel}; color: {theme.soft}; padding: {down}px {across + 2}px 1px {across + 2}px;
        font-weight: bold; }}
    QPushButton#view:checked {{ border-bottom: 3px solid {theme.accent}; color: {theme.ink}; }}
    QPushButton#view:hover {{ color: {theme.ink}; }}
    QPushButton#view:focus {{ border: none; border-bottom: 3px solid {theme.accent};
        padding: {down}px {across + 2}px 1px {across + 2}px;
        background: {theme.picked}; color: {theme.ink}; }}
    QPushButton#view:disabled {{ color: {off}; border: none; border-bottom: 3px solid transparent; }}
    """


def _list_style(theme: Theme, scale: float) -> str:
    return f"""
    QAbstractScrollArea::corner {{ background: {theme.panel}; border: none; }}
    QTableView {{ gridline-color: {theme.rule}; selection-background-color: {theme.picked};
        selection-color: {theme.ink}; }}
    QTableView::indicator {{ width: {round(13 * scale)}px; height: {round(13 * scale)}px; }}
    QTableView::item {{ padding: 1px {CELL_EDGE_PX}px; }}
    QTableView:focus {{ border: 1px solid {theme.accent}; }}
    QHeaderView::section {{ background: {theme.panel}; color: {theme.soft}; border: none; padding: 3px 7px;
        border-bottom: 1px solid {theme.faint}; border-right: 1px solid {theme.rule}; }}
    QWidget#footer {{ border-top: 1px solid {theme.faint}; }}
    QWidget#workHolder {{ background: {theme.raised}; }}
    QFrame#work, QFrame#workChosen {{ background: {theme.raised}; border: none;
        border-left: 4px solid {theme.raised}; border-bottom: 1px solid {theme.rule}; }}
    QFrame#workChosen {{ background: {theme.picked}; border-left: 4px solid {theme.accent}; }}
    QFrame#work QLabel#quiet, QFrame#workChosen QLabel#quiet {{ color: {theme.soft}; }}
    QLabel#workState {{ color: {theme.gap_end}; font-weight: bold; }}
    QLabel#gap {{ color: {theme.ink}; }}
    QLabel#follows, QLabel#followsBad {{ background: {theme.raised}; color: {theme.ink}; padding: 10px 14px;
        border-left: 4px solid {theme.gap_end}; }}
    QLabel#followsBad {{ border-left: 4px solid {theme.breach}; font-weight: bold; }}
    QPlainTextEdit {{ background: {theme.panel}; color: {theme.ink}; border: 1px solid {theme.panel}; padding: 9px; }}
    QPlainTextEdit#field {{ background: {theme.raised}; border: 1px solid {theme.faint}; padding: 2px; }}
    QPlainTextEdit:focus, QPlainTextEdit#field:focus, QScrollArea:focus {{ border: 1px solid {theme.accent}; }}
    QLabel#paper {{ background: #FFFFFF; border: 1px solid {theme.faint}; }}
    QTextBrowser, QListWidget {{ background: {theme.panel}; color: {theme.ink}; border: 1px solid {theme.panel}; }}
    QTextBrowser:focus, QListWidget:focus {{ border: 1px solid {theme.accent}; }}
    QTreeView {{ background: {theme.ground}; color: {theme.ink}; border: 1px solid {theme.ground};
        padding-left: 5px;
        selection-background-color: {theme.picked}; selection-color: {theme.ink}; }}
    QTreeView::item:selected {{ background: {theme.picked}; color: {theme.ink}; }}
    QTreeView::item {{ padding: {round(2 * scale)}px 0; }}
    QTreeView:focus {{ border: 1px solid {theme.accent}; }}
    QListWidget {{ padding-left: 10px; padding-right: 8px; }}
    QListWidget, QTreeView, QTableView {{ outline: none; }}
    QListWidget::item {{ padding: {round(5 * scale)}px 0; border-bottom: 1px solid {theme.rule}; }}
    QListWidget::item:selected {{ background: {theme.picked}; color: {theme.ink}; }}
    QToolTip {{ background: {theme.raised}; color: {theme.ink}; border: 1px solid {theme.faint}; padding: 5px; }}
    QStatusBar {{ background: {theme.panel}; color: {theme.soft}; border-top: 1px solid {theme.faint}; }}
    QStatusBar::item {{ border: none; }}
    QSplitter::handle {{ background: {theme.faint}; }}
    QProgressBar {{ border: none; background: {theme.load_free}; max-height: 4px; min-height: 4px; }}
    QProgressBar::chunk {{ background: {theme.accent}; }}
    """


def _bar_style(theme: Theme, scale: float) -> str:
    """Return the style of scroll bars: a flat handle on the ground of the panels, no arrows."""
    wide, least = round(13 * scale), 16
    return f"""
    QScrollBar {{ background: {theme.panel}; border: none; }}
    QScrollBar:vertical {{ width: {wide}px; }}
    QScrollBar:horizontal {{ height: {wide}px; }}
    QScrollBar::handle {{ background: {theme.field}; border-radius: 3px; margin: 3px; }}
    QScrollBar::handle:hover, QScrollBar::handle:pressed {{ background: {theme.accent}; }}
    QScrollBar::handle:vertical {{ min-height: {least}px; }}
    QScrollBar::handle:horizontal {{ min-width: {least}px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0px; height: 0px; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: none; }}
    """
