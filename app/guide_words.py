"""The built-in guide: how to read the board, and a walk for each of the three who use it. No Qt."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Walk:
    """A page of the guide: what for, the steps, and what to bear in mind."""

    title: str
    lead: str
    steps: tuple[str, ...]
    mind: str


GUIDE: tuple[Walk, ...] = (
    Walk(
        "Reading the board",
        "One row is one element: a pile, a kerb length, a joint. Read it from left to right as its life.",
        (
            "A bar is work. Its letter, colour and hatch say which gang; the strips at the foot say when each gang "
            "is there at all.",
            "After a bar hangs its gap. Dotted: the next layer would be too early. Full band: it may go on. "
            "The band narrows where time runs out, and the post is the end: after it the layer is too late.",
            "So look where the next bar stands in the band. Close to the post there is little to spare; a zigzag "
            "says that the gap was missed.",
            "A double stroke before a bar is a hold point: somebody must release it. The program never does. "
            "A post with two rails after a bar is one before the lane reopens.",
            "A line over a row with an end stop is an exposed stretch: from break-out until the lane can carry "
            "traffic again. It must end before the cones are lifted.",
            "The strips over the rows share the time axis: sun, air and surface temperature, rain, dew risk, and the "
            "closures by lane with their set-out and clear times.",
            "Select a bar: the panel beside the board says why it stands there, what it waits for, and what breaks "
            "first if it waits.",
        ),
        "Colours never stand alone: letters, hatches and shapes say the same. The View menu has larger text and "
        "colours of high contrast.",
    ),
    Walk(
        "The foreman, the evening before",
        "What do we place tomorrow, at what hour, how many mixes, what do I load, when do I call it off?",
        (
            "Open the job. If a programme was issued, it stands on the board as it was handed out.",
            "Weather: bring in tonight's forecast, by file or from a service, and press Use for the plan. "
            "What breaks on it is listed; press F5, or F7 to move as little as possible.",
            "Shift sheet: choose day and gang. Times are not before, planned, not after. Read the limits, the mixing "
            "schedule and the loading list.",
            "Print it, or all gangs of the day. It reads well in black and white.",
            "Issue the plan (Plan, Issue this programme), so that the job opens on it again.",
            "On the day, Site record: Started now, Finished now, with the readings. At once it says when the next "
            "layer may go on, and by when it must have.",
            "If a gap was missed, the record says so with the remedy; Plan the rest plans again from there.",
        ),
        "Readings on the day overrule the forecast, and the product's data sheet overrules this program.",
    ),
    Walk(
        "The planner, weeks before",
        "Which closures do I need, what does each buy, and what if one is refused or cut short?",
        (
            "Job set-up: elements with their amounts, methods, gangs and shifts, plant, products, closures.",
            "F5 plans. The header says the finish, the closures used, and whether what you plan for is proved.",
            "“…” beside Plan for puts several aims in order, or money on a day, a closure, a moved operation.",
            "Closures: Study closures draws the finish against the number of closures, and against their cost. "
            "A filled mark is proved, a hollow one the best found.",
            "Select a closure to read what is done in it, the least length that still works, and what is lost "
            "without it. Give the list to others as a spreadsheet or a calendar.",
            "Refused? Mark it R in the table and plan again. A rapid mortar or a heated tent is entered in "
            "Job set-up under Other ways: it is taken where it betters what you plan for.",
            "Plan, Issue this programme: it gets a number and is frozen in the job file with its forecast.",
        ),
        "A plan is the best that was found in the time given, unless it says that it is proved.",
    ),
    Walk(
        "The supervisor, when the forecast turns cold",
        "Which gaps break, what must move, what can stay, and how sure are we?",
        (
            "Replan: choose the new forecast, the plan that stands (the one shown, or an issue) and the time now.",
            "On the left stands what breaks, and until when one can still act.",
            "Find ways out: the least change that works, and beside it each other way by itself: waiting, a tent, "
            "another product, a remedy, a closure given back.",
            "Choose one and read what moves. Show on the board lets you look at it; Take this plan takes it, as a "
            "step of undo.",
            "Look at the board: gaps with little to spare are where to put the thermometer.",
            "Issue it, so that everybody knows which one stands.",
        ),
        "Hold points stay hold points: who jacks, lifts or reopens a road asks the one who may release it.",
    ),
)
