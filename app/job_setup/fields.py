"""The fields of each part of a job, in the order of its form: key in the file, words, kind and help; no Qt."""

from __future__ import annotations

from dataclasses import dataclass

from app.job_setup.kinds import Kind

K = Kind


@dataclass(frozen=True)
class Field:
    """One field. among: the fixed choices, or "@kind" for the ids of that kind in the job, such as "@lanes"."""

    key: str
    label: str
    kind: Kind
    help: str = ""
    among: tuple[str, ...] = ()


ID = Field("id", "Id", K.TEXT, "The name by which the rest of the file means it: letters, digits, _ . -")
NAME = Field("name", "Name", K.TEXT, "As it is shown on the board and on sheets")
NOTE = Field("note", "Note", K.TEXT, "Anything worth knowing")

HEADING = (
    Field("name", "Name of the job", K.TEXT, "As it is shown over the board and on every sheet"),
    Field("first_day", "First day", K.DATE, "The plan begins on this day; a day such as 2027-03-22"),
    Field("days", "Days", K.WHOLE, "How many days the plan may take, 1 to 400"),
    Field("prelims_per_day", "Preliminaries a day", K.NUMBER, "What the site costs for each day that the job lasts"),
    Field("currency", "Currency", K.TEXT, "Three letters such as GBP"),
    Field("days_off", "Days off", K.DATES, "On these days no gang begins a shift; 2027-03-26, 2027-03-29"),
    Field("code_set", "Code set", K.CHOICE, "Whose rules on concrete the job keeps", ("en", "din", "aci")),
    NOTE,
)
SITE = (
    Field("name", "Place", K.TEXT, "Where the job is"),
    Field("latitude", "Latitude", K.NUMBER, "Degrees north, −66 to 66; the sun follows from it"),
    Field("longitude", "Longitude", K.NUMBER, "Degrees east, −180 to 180; west is negative"),
    Field("zone", "Time zone", K.TEXT, "Such as Europe/London; clock changes follow from it"),
)
STRUCTURE = (ID, NAME)
LANE = (ID, NAME)
PLANT = (ID, NAME, Field("count", "How many", K.WHOLE, "How many of them there are on site"))
GANG = (
    ID,
    NAME,
    Field("size", "People", K.WHOLE, "How many people, 1 to 200"),
    Field("skills", "Skills", K.IDS, "What it can do; an operation goes to a gang that has its skill", ("@skills",)),
    Field("cost_per_shift", "Cost a shift", K.NUMBER, "Paid for each shift in which it works"),
    Field("move_min", "Minutes to move", K.WHOLE, "Lost between two structures"),
    Field("days_off", "Days off", K.DATES, "On these days it begins no shift; 2027-03-26, 2027-03-29"),
)
SHIFT = (
    NAME,
    Field(
        "rule",
        "Days on which it begins",
        K.WEEKDAYS,
        "Tick the days of the week; for more than that, a rule of RFC 5545 such as FREQ=WEEKLY;INTERVAL=2;BYDAY=MO",
    ),
    Field("start", "From", K.CLOCK, "Wall time such as 07:00"),
    Field("finish", "Until", K.CLOCK, "Wall time; not after the start means on the next day"),
    Field("anchor", "Not before", K.DATE, "No such shift before this day; an INTERVAL counts from it"),
    Field("overtime_h", "Overtime, h", K.HOURS, "For so long work may go on past the end, 0 to 12"),
    Field("overtime_cost_per_h", "Overtime cost an hour", K.NUMBER, "For the whole gang, paid by the quarter-hour"),
)
CLOSURE = (
    ID,
    NAME,
    Field("lanes", "Lanes shut", K.IDS, "One or more of the job's lanes", ("@lanes",)),
    Field("start", "Cones on", K.MOMENT, "Wall time, set-out included; 2027-03-23 20:00"),
    Field("finish", "Cones off", K.MOMENT, "Wall time, when the lanes are open again"),
    Field("set_out_min", "Minutes to set out", K.WHOLE, "Taken off the working time at the start; 45 if left out"),
    Field("clear_min", "Minutes to clear", K.WHOLE, "Taken off the working time at the end; 30 if left out"),
    Field("state", "State", K.CHOICE, "How far it has got", ("wanted", "requested", "agreed", "refused")),
    Field("cost", "Cost", K.NUMBER, "Falls due if the plan uses it"),
    NOTE,
)
ELEMENT = (
    ID,
    NAME,
    Field("structure", "Structure", K.CHOICE, "Gangs lose time between structures", ("@structures",)),
    Field("method", "Method", K.CHOICE, "The sequence of operations, shown below", ("@methods",)),
    Field("lanes", "Lanes", K.IDS, "Shut for the operations that need it; none off the road", ("@lanes",)),
    Field("omit", "Operations left out", K.IDS, "Operations of the method that it does not need", ("@operations",)),
    Field("hours", "Hours that differ", K.AMOUNTS, "Length by operation, such as strip_out = 2.5"),
    Field("products", "Products that differ", K.NAMES, "Such as epoxy_primer = epoxy_primer_cold"),
    Field("thickness_m", "Thickness, m", K.NUMBER, "Of the concrete, for its temperature; 0.3 if left out"),
    Field("faces", "Faces in the air", K.CHOICE, "1 or 2", ("1", "2")),
    Field(
        "exposure",
        "Exposure",
        K.CHOICE,
        "What stands before the face",
        ("open", "sheltered", "buried", "shuttered", "tented"),
    ),
    Field("tent_c", "Tent holds, °C", K.NUMBER, "Goes with tented only"),
    Field(
        "faces_to",
        "Faces to",
        K.CHOICE,
        "Left out, the sun is left out too: safe for cold, not for heat",
        ("up", "down", "north", "east", "south", "west"),
    ),
    Field("material", "Material", K.CHOICE, "Of the body", ("concrete", "steel")),
    Field("held", "Traffic is held", K.YES_NO, "A lane or speed restriction stands for the whole repair"),
)
PRODUCT = (
    ID,
    NAME,
    Field("sheet", "Data sheet", K.TEXT, "Where the numbers come from"),
)
CONDITIONS = (
    Field("surface_c", "Surface, °C", K.PAIR, "Placed only in this range, such as 5 to 30"),
    Field("air_c", "Air, °C", K.PAIR, "Placed only in this range"),
    Field("humidity_max_pct", "Humidity at most, %", K.NUMBER),
    Field("wind_max_ms", "Wind at most, m/s", K.NUMBER),
    Field("dew_margin_c", "Over the dew point, K", K.NUMBER, "The surface must be warmer by so much"),
    Field("dry", "Dry while placed", K.YES_NO),
    Field("rain_free_h", "No rain after, h", K.HOURS),
    Field("protect_h", "Protected after, h", K.HOURS),
    Field("protect_min_c", "Not colder then, °C", K.NUMBER),
)
CURVE = (
    Field("not_before", "Not before", K.POINTS, "Hours by °C from the data sheet, such as 5: 24, 10: 16, 20: 8"),
    Field("not_after", "Not after", K.POINTS, "Hours by °C; left out, the gap never shuts"),
    Field("stalls_below_c", "Clock stops below, °C", K.NUMBER, "Where lower than the first point"),
    Field("temperature", "Driven by", K.CHOICE, "Which temperature drives the clock", ("surface", "air")),
)
