"""What the desktop remembers between runs, typed; a stored False never comes back as the text "false"."""

from __future__ import annotations

import json

from PySide6.QtCore import QByteArray, QSettings

from app.board.rows import Density
from app.job_looks import JobLook, looks_from, looks_text, panes_from
from app.text_size import TextSize
from planner.weather.fetch_plan import FetchSettings

ORGANISATION, APPLICATION = "liftgap", "liftgap"
_RECENT = 8
THEMES = ("system", "light", "dark")
_SERVICE = ("address", "agent", "credit")


class Settings:
    """Typed access to one QSettings; a value that makes no sense is taken as never stored."""

    def __init__(self, store: QSettings | None = None) -> None:
        self._store = store or QSettings(ORGANISATION, APPLICATION)

    @property
    def theme(self) -> str:
        """ "system", "light" or "dark"."""
        stored = str(self._store.value("look/theme", "system", type=str))
        return stored if stored in THEMES else "system"

    @theme.setter
    def theme(self, value: str) -> None:
        self._store.setValue("look/theme", value)

    @property
    def high_contrast(self) -> bool:
        """Whether text and lines stand out as far as can be."""
        return bool(self._store.value("look/high_contrast", False, type=bool))

    @high_contrast.setter
    def high_contrast(self, value: bool) -> None:
        self._store.setValue("look/high_contrast", value)

    @property
    def text_size(self) -> TextSize:
        """How large words are."""
        stored = str(self._store.value("look/text_size", "", type=str))
        return TextSize(stored) if stored in set(TextSize) else TextSize.NORMAL

    @text_size.setter
    def text_size(self, value: TextSize) -> None:
        self._store.setValue("look/text_size", value.value)

    @property
    def density(self) -> Density | None:
        """Height of the rows; None for what suits the job."""
        stored = str(self._store.value("look/density", "", type=str))
        return Density(stored) if stored in set(Density) else None

    @density.setter
    def density(self, value: Density | None) -> None:
        self._store.setValue("look/density", value.value if value else "")

    @property
    def legend(self) -> bool:
        """Whether the legend is shown."""
        return bool(self._store.value("look/legend", True, type=bool))

    @legend.setter
    def legend(self, value: bool) -> None:
        self._store.setValue("look/legend", value)

    @property
    def ribbons_folded(self) -> bool:
        """Whether temperatures, rain and dew risk are left out over the board."""
        return bool(self._store.value("look/ribbons_folded", False, type=bool))

    @ribbons_folded.setter
    def ribbons_folded(self, value: bool) -> None:
        self._store.setValue("look/ribbons_folded", value)

    @property
    def side_px(self) -> int:
        """Width of the panels beside the board [px]; 0 for what suits the window."""
        return max(0, int(str(self._store.value("window/side", 0, type=int))))

    @side_px.setter
    def side_px(self, value: int) -> None:
        self._store.setValue("window/side", value)

    @property
    def seconds(self) -> int:
        """Seconds that planning takes at most [s]."""
        stored = self._store.value("plan/seconds", 10, type=int)
        return min(3600, max(1, int(str(stored))))

    @seconds.setter
    def seconds(self, value: int) -> None:
        self._store.setValue("plan/seconds", value)

    @property
    def study_seconds(self) -> int:
        """Seconds that a study of closures takes at most [s]."""
        stored = self._store.value("closures/seconds", 60, type=int)
        return min(3600, max(5, int(str(stored))))

    @study_seconds.setter
    def study_seconds(self, value: int) -> None:
        self._store.setValue("closures/seconds", value)

    @property
    def recent(self) -> tuple[str, ...]:
        """Paths of the last jobs opened, the newest first."""
        stored = self._store.value("jobs/recent", [], type=list)
        return tuple(str(path) for path in stored)[:_RECENT] if isinstance(stored, list) else ()

    def remember(self, path: str) -> None:
        """Put a job at the head of the recent ones."""
        rest = [other for other in self.recent if other != path]
        self._store.setValue("jobs/recent", [path, *rest][:_RECENT])

    def forget(self, path: str) -> None:
        """Take a job off the recent ones."""
        self._store.setValue("jobs/recent", [other for other in self.recent if other != path])

    def look_of(self, path: str) -> JobLook:
        """Return how a job was looked at last."""
        return looks_from(str(self._store.value("jobs/looks", "", type=str))).get(path, JobLook())

    def keep_look(self, path: str, look: JobLook) -> None:
        """Keep how a job is looked at; those looked at longest ago are forgotten."""
        looks = looks_from(str(self._store.value("jobs/looks", "", type=str)))
        looks.pop(path, None)
        self._store.setValue("jobs/looks", looks_text({**looks, path: look}))

    @property
    def panes(self) -> dict[str, list[int]]:
        """Sizes of the panels between movable handles [px], by the handles' name."""
        return panes_from(str(self._store.value("window/panes", "", type=str)))

    @panes.setter
    def panes(self, value: dict[str, list[int]]) -> None:
        self._store.setValue("window/panes", json.dumps(value))

    @property
    def service(self) -> FetchSettings:
        """The forecast service that the user has typed in; empty at first."""
        address, agent, credit = (str(self._store.value(f"service/{n}", "", type=str)) for n in _SERVICE)
        seconds = int(str(self._store.value("service/timeout", 15, type=int)))
        return FetchSettings(address, agent, credit, float(min(120, max(1, seconds))))

    @service.setter
    def service(self, value: FetchSettings) -> None:
        for name, text in zip(_SERVICE, (value.template, value.agent, value.credit), strict=True):
            self._store.setValue(f"service/{name}", text)
        self._store.setValue("service/timeout", int(value.timeout_s))

    @property
    def geometry(self) -> QByteArray:
        """Size and place of the window; empty at first."""
        stored = self._store.value("window/geometry", QByteArray(), type=QByteArray)
        return stored if isinstance(stored, QByteArray) else QByteArray()

    @geometry.setter
    def geometry(self, value: QByteArray) -> None:
        self._store.setValue("window/geometry", value)
