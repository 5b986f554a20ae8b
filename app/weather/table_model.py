"""The hours of the forecast as a table: read on demand, so that any length costs the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QColor, QFont

from app.theme import LIGHT, Theme
from app.weather.chart_data import ChartData
from app.weather.chart_lines import letter_of
from app.weather.snapshot import NAMES, UNITS, Snapshot
from app.weather.time_words import hour_words

_Index = QModelIndex | QPersistentModelIndex
_NONE = QModelIndex()
_DIGITS = {"air_c": 1, "humidity_pct": 0, "rain_mm": 1, "wind_ms": 1, "cloud_pct": 0}


@dataclass(frozen=True)
class Column:
    """One column: its heading, and which series it is (`name`), or which group's surface (`group`)."""

    heading: str
    name: str = ""
    group: int | None = None


class HourTable(QAbstractTableModel):
    """Rows are the hours of a snapshot; typed values are handed on, never taken in here."""

    typed = Signal(str, int, str)
    """Column, hour and text that the user typed into a cell."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self.columns: tuple[Column, ...] = ()
        self.theme: Theme = LIGHT
        self._snapshot: Snapshot | None = None
        self._data: ChartData | None = None
        self._zone = ZoneInfo("UTC")
        self._changed: dict[str, np.ndarray] = {}
        self._bold = QFont()
        self._bold.setBold(True)

    def set_theme(self, theme: Theme) -> None:
        """Write with another theme's colours."""
        self.theme = theme
        self._tell_all()

    def set_snapshot(self, snapshot: Snapshot, data: ChartData) -> None:
        """Show a snapshot; rows and columns are only renewed where their number or headings change."""
        columns = _columns(data)
        old = self._snapshot.series if self._snapshot else None
        same = old is not None and (old.start, old.hours) == (snapshot.series.start, snapshot.series.hours)
        same = same and columns == self.columns
        if not same:
            self.beginResetModel()
        self._snapshot, self._data, self.columns, self._zone = snapshot, data, columns, data.time.zone
        self._changed = {name: snapshot.changed(name) for name in NAMES}
        if same:
            self._tell_all()
        else:
            self.endResetModel()

    def column_of(self, name: str) -> int:
        """Return the table's column that shows a series."""
        return next(number for number, column in enumerate(self.columns) if column.name == name)

    def rowCount(self, parent: _Index = _NONE) -> int:
        return 0 if parent.isValid() or self._snapshot is None else self._snapshot.series.hours

    def columnCount(self, parent: _Index = _NONE) -> int:
        return 0 if parent.isValid() else len(self.columns)

    def flags(self, index: _Index) -> Qt.ItemFlag:
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        plain = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        editable = self.columns[index.column()].name in NAMES
        return plain | Qt.ItemFlag.ItemIsEditable if editable else plain

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation is not Qt.Orientation.Horizontal or section >= len(self.columns):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.columns[section].heading
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.columns[section].heading.replace("°C\n", "°C of ").replace("\n", ", ")
        return None

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or self._snapshot is None or self._data is None:
            return None
        row, column = index.row(), self.columns[index.column()]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self._text(row, column) or ("missing" if column.name in NAMES else "–")
            case Qt.ItemDataRole.EditRole:
                return self._text(row, column)
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignLeft if column.name == "time" else Qt.AlignmentFlag.AlignRight
                return int(side | Qt.AlignmentFlag.AlignVCenter)
            case Qt.ItemDataRole.FontRole:
                return self._bold if self._is_changed(row, column) else None
            case Qt.ItemDataRole.ForegroundRole:
                return self._colour(row, column)
            case Qt.ItemDataRole.ToolTipRole:
                return self._was(row, column)
            case Qt.ItemDataRole.AccessibleTextRole:
                words = self._text(row, column) or "missing"
                return f"{column.heading}: {words}".replace("\n", " ")
        return None

    def setData(self, index: _Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        name = self.columns[index.column()].name
        if name not in NAMES or str(value).strip() == self._text(index.row(), self.columns[index.column()]):
            return False
        self.typed.emit(name, index.row(), str(value))
        return True

    def _text(self, row: int, column: Column) -> str:
        assert self._snapshot is not None
        assert self._data is not None
        if column.name == "time":
            return hour_words(self._snapshot.series, row, self._zone)
        value, digits = self._value(row, column)
        return "" if np.isnan(value) else f"{value:.{digits}f}"

    def _value(self, row: int, column: Column) -> tuple[float, int]:
        assert self._snapshot is not None
        assert self._data is not None
        if column.group is not None:
            values = self._data.surfaces[column.group][1]
            slot = int(self._data.hours_at[row])
            return (float(values[slot]) if 0 <= slot < len(values) else float("nan")), 1
        if column.name == "dew":
            return float(self._data.dew_c[row]), 1
        return float(getattr(self._snapshot.series, column.name)[row]), _DIGITS[column.name]

    def _is_changed(self, row: int, column: Column) -> bool:
        return column.name in self._changed and bool(self._changed[column.name][row])

    def _colour(self, row: int, column: Column) -> QColor | None:
        if self._is_changed(row, column):
            return QColor(self.theme.accent)
        if column.name in NAMES:
            return QColor(self.theme.breach) if np.isnan(self._value(row, column)[0]) else None
        stale = column.group is not None and self._data is not None and self._data.surfaces_stale
        return QColor(self.theme.soft) if column.name != "time" and (stale or column.name == "dew") else None

    def _was(self, row: int, column: Column) -> str | None:
        if not self._is_changed(row, column) or self._snapshot is None:
            return None
        was = float(getattr(self._snapshot.origin, column.name)[row])
        return f"Changed by hand; it was {was:.{_DIGITS[column.name]}f} {UNITS[column.name]}"

    def _tell_all(self) -> None:
        if self.rowCount() and self.columns:
            self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, len(self.columns) - 1))


def _columns(data: ChartData) -> tuple[Column, ...]:
    names = [name.replace(", ", "\n") for name, _ in data.surfaces]
    letters = [f" {letter_of(number)}" if len(names) > 1 else "" for number in range(len(names))]
    surfaces = tuple(
        Column(f"Surface{letter} °C\n{name}", group=number)
        for number, (letter, name) in enumerate(zip(letters, names, strict=True))
    )
    return (
        Column("Time", "time"),
        Column("Air\n°C", "air_c"),
        Column("Dew point\n°C", "dew"),
        Column("Rain\nmm", "rain_mm"),
        Column("Wind\nm/s", "wind_ms"),
        Column("Humidity\n%", "humidity_pct"),
        Column("Cloud\n%", "cloud_pct"),
        *surfaces,
    )
