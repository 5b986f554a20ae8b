"""The fields of methods, of other ways and remedies, and of what a product's pack and strength are; no Qt."""

from __future__ import annotations

from typing import get_args

from app.job_setup.fields import ID, NAME, NOTE, Field
from app.job_setup.kinds import Kind
from planner.model.method import Caution, Light
from planner.model.strength import Development, LawId

K = Kind
_ENDS = ("start", "finish")
_HOURS = Field("hours", "Hours", K.HOURS, "Fixed hours; the time for the quantity comes on top")
_QUANTITY = Field("quantity", "Quantity", K.TEXT, "Which of the element's quantities it draws on, such as area_m2")
_OUTPUT = Field("output_per_h", "Output an hour", K.NUMBER, "Of the quantity, in an hour; the two go together")
_SKILL = Field("skill", "Gang with skill", K.TEXT, "It goes to a gang that has this skill", ("@skills",))
_PRODUCT = Field("product", "Product", K.CHOICE, "Its conditions and curves count", ("@products",))
_PLANT = Field("plant", "Plant", K.IDS, "Plant that it needs, by id", ("@plant",))
_LANES_SHUT = Field("lanes_shut", "Lanes shut", K.YES_NO, "The element's lanes must be shut while it goes on")
_ELEMENTS = Field("elements", "Elements", K.IDS, "For which elements it is offered", ("@elements",))
_COST = Field("cost", "Cost", K.NUMBER, "What it costs, once")

METHOD = (ID, NAME, NOTE)
OPERATION = (
    ID,
    NAME,
    _SKILL,
    _HOURS,
    _QUANTITY,
    _OUTPUT,
    Field("follows", "Follows", K.IDS, "What must be finished first; left out: the one before it", ("@operations",)),
    _PRODUCT,
    Field("covers", "Covers", K.CHOICE, "The product that it shields from sun and wind", ("@products",)),
    _PLANT,
    _LANES_SHUT,
    Field("light", "Light", K.CHOICE, "The light that it needs", get_args(Light)),
    Field("visits", "Visits", K.CHOICE, "One unbroken visit, or many where it may be broken off", ("one", "many")),
    Field("min_visit_h", "Shortest visit, h", K.HOURS, "Worth making, where there are many"),
    Field("hold_point", "Hold point", K.TEXT, "What somebody must release before it starts, in words"),
    Field("reopening_hold", "Before reopening", K.TEXT, "What must be released before its lane reopens, in words"),
    Field("the_day_before", "The day before", K.TEXT, "What must be begun on the day before it, in words"),
    Field("cautions", "Cautions", K.IDS, "Printed on the shift sheet", get_args(Caution)),
    NOTE,
)
GAP = (
    Field("after", "After", K.CHOICE, "The gap is measured from this operation", ("@operations",)),
    Field("before", "Before", K.CHOICE, "The operation that waits", ("@operations",)),
    Field("after_end", "From its", K.CHOICE, "Which end of the first operation", _ENDS),
    Field("before_end", "To its", K.CHOICE, "Which end of the second operation", _ENDS),
    Field("product", "Product", K.CHOICE, "Whose curve or strength counts; else type hours", ("@products",)),
    Field("curve", "Curve", K.TEXT, "One of the product's curves, by name", ("@curves",)),
    Field("strength_mpa", "Strength reached, MPa", K.NUMBER, "Open once the product has it"),
    Field("curing_class", "Curing class", K.WHOLE, "1 to 4: open after the code's shortest curing"),
    Field("not_before_h", "Not before, h", K.HOURS, "Typed hours, in place of a product"),
    Field("not_after_h", "Not after, h", K.HOURS, "Typed hours, in place of a product"),
    Field("shuts", "Shuts", K.YES_NO, "Off where only its opening counts"),
    Field("remedy", "Remedy in words", K.TEXT, "What mends it when it is missed"),
)
ALTERNATIVE = (
    ID,
    NAME,
    _ELEMENTS,
    Field("operation", "Operation", K.CHOICE, "The operation that is done in another way", ("@operations",)),
    Field("product", "Product", K.CHOICE, "In place of the operation's own", ("@products",)),
    _HOURS,
    _OUTPUT,
    Field("plant", "Plant as well", K.IDS, "Needed beside the operation's own", ("@plant",)),
    Field("cost", "Cost against usual", K.NUMBER, "Once; below 0 where it saves"),
    Field("cost_per_unit", "Cost a unit", K.NUMBER, "For each unit of the quantity"),
    NOTE,
)
ENCLOSURE = (
    Field("surface_c", "Surface held at, °C", K.NUMBER, "A heated tent over it, until the gaps from it are over"),
    Field("covers", "Covers also", K.IDS, "Further operations of the element done under it", ("@operations",)),
    Field("sheltered", "Keeps rain and wind out", K.YES_NO, ""),
)
PLATING = (
    Field("stretch", "Exposed stretch", K.TEXT, "Its name in the method; plates lie over it between closures"),
    Field("lift_min", "Minutes to lift", K.WHOLE, "At the start of each closure"),
    Field("lay_min", "Minutes to lay", K.WHOLE, "At the end of each closure"),
)
REMEDY = (
    ID,
    NAME,
    _ELEMENTS,
    Field("after", "After", K.CHOICE, "The gap from this operation", ("@operations",)),
    Field("before", "Before", K.CHOICE, "to this one", ("@operations",)),
    _SKILL,
    _HOURS,
    _QUANTITY,
    _OUTPUT,
    Field("product", "Product", K.CHOICE, "What the next layer then waits on", ("@products",)),
    Field("curve", "Curve", K.TEXT, "Of that product, from the remedy's finish on", ("@curves",)),
    Field("renews", "Starts the gap anew", K.YES_NO, "As where it is washed again; in place of a curve"),
    _PLANT,
    _LANES_SHUT,
    _COST,
    NOTE,
)
SUPPLY = (
    Field("pack", "Pack", K.TEXT, "What it is called, such as bag 25 kg"),
    Field("pack_kg", "In a pack, kg", K.NUMBER),
    Field("pack_l", "In a pack, l", K.NUMBER),
    Field("pack_count", "In a pack, pieces", K.WHOLE),
    Field("pack_m2", "In a pack, m²", K.NUMBER),
    Field("water_l", "Water a pack, l", K.NUMBER),
    Field("yield_l", "A pack gives, l", K.NUMBER, "Mixed; or the wet density below"),
    Field("wet_density_kg_m3", "Wet density, kg/m³", K.NUMBER, "In place of what a pack gives"),
    Field("waste_pct", "Waste, %", K.NUMBER, "Share of what is mixed that is lost"),
    Field("mixer_l", "Mixer holds, l", K.NUMBER, "Left out: one pack a mix"),
    Field("mix_min", "Mixing, min", K.NUMBER, "Until a mix is ready"),
    Field("pot_life_min", "Pot life", K.POINTS, "°C and minutes from the start of mixing, such as 5: 75, 20: 40"),
    Field("pot_life_kg", "Pot life is of, kg", K.NUMBER, "The batch for which it holds"),
    Field("pot_life_doubling", "Each doubling of it", K.NUMBER, "Multiplies the pot life by so much, 0 to 1"),
    Field("cold_joint_min", "Cold joint after, min", K.NUMBER, "Longest time from one mix placed to the next"),
    Field("also", "Load also", K.TEXT, "What else goes with it"),
)
COVERAGE = (
    Field("kg_per_m2", "kg a m²", K.NUMBER, "One of the three"),
    Field("l_per_m2", "l a m²", K.NUMBER),
    Field("kg_per_m2_mm", "kg a m² and mm", K.NUMBER),
    Field("of", "Of what is", K.CHOICE, "In the pack, or mixed with its water", ("pack", "mixed")),
)
STRENGTH = (
    Field("fcm28_mpa", "At 28 days, MPa", K.NUMBER, "Mean compressive strength; goes with s"),
    Field("s", "s", K.NUMBER, "0.20 rapid, 0.25 normal, 0.38 slow cement; rapid mortars less"),
    Field("maturity", "Law of hardening", K.CHOICE, "In place of the code's", get_args(LawId)),
    Field("activation_kj_mol", "Activation energy, kJ/mol", K.NUMBER, "15 to 90; a law of its own"),
)
DEVELOPMENT = Field("development", "Gains strength", K.CHOICE, "For shortest curing times", get_args(Development))
