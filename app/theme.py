"""Every colour the desktop uses, by role, for light, dark and print; plain data, no Qt.

Text roles keep a contrast of at least 4.5:1 (WCAG 2.1, 1.4.3) on every ground they are used on, and the outlines of
bars 3:1 (WCAG 2.2, 1.4.11, graphical objects).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True)
class Theme:
    """One table of colours "#RRGGBB".

    ground: the board; panel: what stands round it; raised: fields and cards.
    field: the line round what can be typed into or chosen from.
    ink, soft, faint: text in falling weight (`faint` is for rules and ticks, never for text).
    gangs: fill of the bars by gang, repeated after the last; `on_gangs` is the text on each.
    edge_contrast: least contrast of a bar's outline to each of BAR_GROUNDS.
    """

    name: str
    ground: str
    panel: str
    raised: str
    stripe: str
    ink: str
    soft: str
    faint: str
    rule: str
    field: str
    accent: str
    on_accent: str
    picked: str
    night: str
    twilight: str
    day: str
    gap_wait: str
    gap_open: str
    gap_end: str
    breach: str
    advice: str
    exposed: str
    air: str
    surface: str
    limit: str
    rain: str
    dew: str
    closure: str
    closure_ends: str
    closure_ink: str
    load_free: str
    now: str
    gangs: tuple[str, ...]
    on_gangs: tuple[str, ...]
    edge_contrast: float = 3.0

    def gang(self, index: int) -> str:
        """Return the fill of the bars of the gang numbered `index`."""
        return self.gangs[index % len(self.gangs)]

    def on_gang(self, index: int) -> str:
        """Return the colour of text on that fill."""
        return self.on_gangs[index % len(self.on_gangs)]

    def edge(self, index: int) -> str:
        """Return the outline of those bars: the fill where it stands out, else its nearest shade that does."""
        return _edge(self, self.gang(index))


_WHITE, _DARK = "#FFFFFF", "#14202A"

LIGHT = Theme(
    name="light",
    ground="#FCFBF8",
    panel="#F2F1EC",
    raised="#FFFFFF",
    stripe="#F7F6F1",
    ink="#1C2A33",
    soft="#53616A",
    faint="#C9CCC9",
    rule="#E2E1DB",
    field="#7B848A",
    accent="#17667F",
    on_accent=_WHITE,
    picked="#DCE9EC",
    night="#DDE2EE",
    twilight="#EBEDF3",
    day="#FCF3DC",
    gap_wait="#67757D",
    gap_open="#8CC3B4",
    gap_end="#1F6B5C",
    breach="#A63A1E",
    advice="#7A5A0A",
    exposed="#1C2A33",
    air="#65747D",
    surface="#B4532A",
    limit="#93401D",
    rain="#4A86BE",
    dew="#6F7FA8",
    closure="#F3E2B4",
    closure_ends="#D9BC72",
    closure_ink="#4A3A10",
    load_free="#E1E0D9",
    now="#A63A1E",
    gangs=("#17667F", "#E0A12A", "#6B46B4", "#242A5E", "#8C9AE8", "#B9475A", "#C4B07A", "#4E2618"),
    on_gangs=(_WHITE, _DARK, _WHITE, _WHITE, _DARK, _WHITE, _DARK, _WHITE),
)

DARK = Theme(
    name="dark",
    ground="#171C21",
    panel="#1F262C",
    raised="#28313A",
    stripe="#1A2026",
    ink="#E8ECEE",
    soft="#A9B5BC",
    faint="#4A565F",
    rule="#2C353D",
    field="#83909A",
    accent="#6CC3CF",
    on_accent="#0E1318",
    picked="#24404A",
    night="#0E1220",
    twilight="#131923",
    day="#3A3420",
    gap_wait="#93A1A9",
    gap_open="#3F7C6D",
    gap_end="#8FDCC6",
    breach="#FF9A7A",
    advice="#E5C46B",
    exposed="#E8ECEE",
    air="#93A1A9",
    surface="#F0926A",
    limit="#F2A684",
    rain="#6AA5DA",
    dew="#8E9CC8",
    closure="#57491F",
    closure_ends="#75602A",
    closure_ink="#F6E7BB",
    load_free="#343E47",
    now="#FF9A7A",
    gangs=("#23958F", "#D8A43A", "#9A7BD4", "#EBDFD8", "#8DB6E0", "#E8609A", "#B0D97C", "#A2525A"),
    on_gangs=("#0E1318", "#0E1318", "#0E1318", "#0E1318", "#0E1318", "#0E1318", "#0E1318", _WHITE),
)

PRINT = Theme(
    name="print",
    ground="#FFFFFF",
    panel="#FFFFFF",
    raised="#FFFFFF",
    stripe="#FAFAF8",
    ink="#101A20",
    soft="#44525B",
    faint="#B9BEBF",
    rule="#DADBD8",
    field="#7B848A",
    accent="#17667F",
    on_accent=_WHITE,
    picked="#FFFFFF",
    night="#E3E7F1",
    twilight="#EFF1F6",
    day="#FCF3DC",
    gap_wait="#56646C",
    gap_open="#8CC3B4",
    gap_end="#1F6B5C",
    breach="#8F2F16",
    advice="#6E5008",
    exposed="#101A20",
    air="#56646C",
    surface="#B4532A",
    limit="#8A3A18",
    rain="#4A86BE",
    dew="#6F7FA8",
    closure="#F3E2B4",
    closure_ends="#D9BC72",
    closure_ink="#4A3A10",
    load_free="#E1E0D9",
    now="#8F2F16",
    gangs=LIGHT.gangs,
    on_gangs=LIGHT.on_gangs,
)

THEMES = {theme.name: theme for theme in (LIGHT, DARK, PRINT)}

TEXT_ON_GROUNDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("ink", ("ground", "panel", "raised", "stripe", "picked", "night", "twilight", "load_free")),
    ("soft", ("ground", "panel", "raised", "stripe", "picked", "night", "twilight")),
    ("accent", ("ground", "panel", "raised")),
    ("on_accent", ("accent",)),
    ("breach", ("ground", "panel", "raised", "night", "twilight", "stripe", "picked")),
    ("advice", ("ground", "panel", "raised", "picked")),
    ("gap_end", ("ground", "panel", "raised", "picked")),
    ("limit", ("ground", "panel")),
    ("surface", ("ground",)),
    ("closure_ink", ("closure", "closure_ends")),
    ("now", ("ground", "panel")),
)
"""Which role writes text on which grounds; the contrast test reads this."""

BAR_GROUNDS = ("ground", "panel", "stripe", "night", "picked", "load_free")
"""What bars and crew-days are drawn on."""


@cache
def _edge(theme: Theme, fill: str) -> str:
    """Return the first shade from `fill` to the ink, in steps of a twentieth, that stands out on every ground."""
    grounds = [getattr(theme, role) for role in BAR_GROUNDS]
    shades = (mixed(fill, theme.ink, step / 20) for step in range(20))
    clear = (one for one in shades if min(contrast(one, ground) for ground in grounds) >= theme.edge_contrast)
    return next(clear, theme.ink)


@cache
def mixed(one: str, other: str, share: float) -> str:
    """Return the colour `share` of the way from `one` to `other`."""
    pairs = [(int(one[i : i + 2], 16), int(other[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02X}" for a, b in pairs)


def luminance(colour: str) -> float:
    """Return the relative luminance of "#RRGGBB" (WCAG 2.1, definition of relative luminance)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
