"""A good small job file as text, for tests to damage: one joint under lane L1, two nights, one gang."""

GOOD = """\
# A joint by night.
liftgap_job = 1

[job]
name = "Joint"  # what it is called
first_day = 2024-06-03
days = 3
prelims_per_day = 100

[site]
name = "Test site"
latitude = 54.6
longitude = -2.7
zone = "Europe/London"

[forecast]
days = [
    { date = 2024-06-03, low_c = 12, high_c = 20 },
    { date = 2024-06-04, low_c = 12, high_c = 20, rain = ["13:00-14:30"] },
    { date = 2024-06-05, low_c = 12, high_c = 20 },
]

[[structures]]
id = "S1"
name = "Span 1"

[[lanes]]
id = "L1"
name = "Lane 1"

[[plant]]
id = "saw"
name = "Floor saw"

[[gangs]]
id = "G1"
name = "Joint gang"
size = 4
skills = ["joints"]

[[gangs.shifts]]
name = "Night"
rule = "FREQ=DAILY"
start = "20:00"
finish = "06:00"

[[closures]]
id = "C1"
lanes = ["L1"]
start = 2024-06-03T20:00:00
finish = 2024-06-04T06:00:00

[[products]]
id = "header"
name = "Rapid mortar"

[products.curves.traffic]
not_before = [[5, 2], [20, 1]]

[[methods]]
id = "joint"
name = "Joint"

[[methods.operations]]
id = "cut"
name = "Saw out"
skill = "joints"
plant = ["saw"]
lanes_shut = true
quantity = "length_m"
output_per_h = 4

[[methods.operations]]
id = "fill"
name = "Fill headers"
skill = "joints"
product = "header"
lanes_shut = true
hours = 1

[[methods.gaps]]
after = "cut"
before = "fill"
not_after_h = "03:00"

[[methods.exposed]]
name = "open joint"
first = "cut"
last = "fill"
fit = [{ after = "fill", product = "header", curve = "traffic" }]

[[methods.plant_holds]]
plant = "saw"
first = "cut"
last = "fill"

[[elements]]
id = "J1"
name = "Joint 1"
structure = "S1"
method = "joint"
quantities = { length_m = 6 }
lanes = ["L1"]

[[elements]]
id = "J2"
name = "Joint 2"
structure = "S1"
method = "joint"
quantities = { length_m = 6 }
lanes = ["L1"]

[[links]]
after = "J1/fill"
before = "J2/cut"
"""


def damaged(old: str, new: str) -> str:
    """Return the good file with the first `old` replaced; a typo in the test itself fails."""
    assert old in GOOD, old
    return GOOD.replace(old, new, 1)


def line_of(text: str, part: str) -> int:
    """Return the number of the first line that holds `part`."""
    return next(number for number, line in enumerate(text.splitlines(), start=1) if part in line)
