"""The two themes of high contrast: every text at least 7:1 on its ground (WCAG 2.1, 1.4.6), rules and ticks plain.

The gangs' colours were searched for: of all that keep 7:1 for their initials, the eight that stay furthest apart
for normal and for colour-blind eyes.
"""

from __future__ import annotations

from app.theme import Theme

_WHITE, _BLACK = "#FFFFFF", "#000000"

LIGHT_CONTRAST = Theme(
    name="light, high contrast",
    ground=_WHITE,
    panel=_WHITE,
    raised=_WHITE,
    stripe="#F4F4F4",
    ink=_BLACK,
    soft="#2B3338",
    faint="#5A6368",
    rule="#8A9195",
    field="#4A5358",
    accent="#00485E",
    on_accent=_WHITE,
    picked="#CFE6EC",
    night="#DBE1F2",
    twilight="#E6EAF5",
    day="#FFF3D0",
    gap_wait="#303A40",
    gap_open="#5CB29B",
    gap_end="#00493B",
    breach="#821400",
    advice="#543B00",
    exposed=_BLACK,
    air="#3A444A",
    surface="#8A2F0C",
    limit="#7A2600",
    rain="#1F5F9C",
    dew="#3D4C7A",
    closure="#F6E3AE",
    closure_ends="#E3C678",
    closure_ink="#2A1F00",
    load_free="#D4D4D0",
    now="#8A1500",
    gangs=("#0022FF", "#AAAA66", "#882200", "#FF44FF", "#660088", "#44AAAA", "#002222", "#EEAA00"),
    on_gangs=(_WHITE, _BLACK, _WHITE, _BLACK, _WHITE, _BLACK, _WHITE, _BLACK),
    edge_contrast=4.5,
)

DARK_CONTRAST = Theme(
    name="dark, high contrast",
    ground=_BLACK,
    panel=_BLACK,
    raised="#14191D",
    stripe="#0C1013",
    ink=_WHITE,
    soft="#D5DCE0",
    faint="#8A969D",
    rule="#5A656C",
    field="#A3AFB6",
    accent="#7FE3F0",
    on_accent=_BLACK,
    picked="#0A3540",
    night="#0A1230",
    twilight="#101A30",
    day="#3A3210",
    gap_wait="#C2CDD3",
    gap_open="#3E9A85",
    gap_end="#A6F5DF",
    breach="#FFBBA6",
    advice="#FFDC7A",
    exposed=_WHITE,
    air="#C2CDD3",
    surface="#FFAA85",
    limit="#FFB899",
    rain="#8CC6FF",
    dew="#B5C2EE",
    closure="#4A3B08",
    closure_ends="#5C4A12",
    closure_ink="#FFF3CC",
    load_free="#3A444B",
    now="#FFBBA6",
    gangs=("#4400FF", "#880044", "#662288", "#EE8888", "#EEFF00", "#CC88FF", "#66AA00", "#88FFFF"),
    on_gangs=(_WHITE, _WHITE, _WHITE, _BLACK, _BLACK, _BLACK, _BLACK, _BLACK),
    edge_contrast=4.5,
)

HIGH_CONTRAST = {"light": LIGHT_CONTRAST, "dark": DARK_CONTRAST}
