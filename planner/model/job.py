"""The job: one file with the site, the people, the closures, the elements and the forecast."""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache
from typing import Annotated, Literal, Self, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import AfterValidator, Field, model_validator

from planner.model.base import (
    Amount,
    Celsius,
    FileName,
    Hours,
    Identifier,
    Identifiers,
    Name,
    Number,
    Part,
    Percent,
    Text,
    as_tuple,
)
from planner.model.issue import ProgrammeIssue
from planner.model.method import Method, MethodGap, MethodOperation
from planner.model.options import Alternative, OfferedAlternative, OfferedRemedy, Remedy
from planner.model.pin import OperationKey, Pin
from planner.model.product import Product
from planner.model.record import SiteEntry
from planner.model.release import OfferedRelease, Release, Releaser
from planner.model.resources import Closure, Days, Gang, Lane, Plant
from planner.model.strength import CodeId
from planner.model.surface import Exposure, Facing, Material, Share, SurfaceKind, SurfaceSettings
from planner.units import SiteTime


def _check_zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ValueError(f"{name!r} is not a time zone such as Europe/London") from error
    return name


class Heading(Part):
    """What the job is called, when it runs, and whose rules on concrete it keeps."""

    name: Name
    first_day: date
    days: Annotated[int, Field(ge=1, le=400)]
    prelims_per_day: Amount = 0.0
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "GBP"
    days_off: Days = ()
    code_set: CodeId = "en"
    note: Text = ""


class Site(Part):
    """Where the job is: sun and clock follow from it. Degrees north and east are positive."""

    name: Name
    latitude: Annotated[Number, Field(ge=-66, le=66)]
    longitude: Annotated[Number, Field(ge=-180, le=180)]
    zone: Annotated[str, AfterValidator(_check_zone)]


class ForecastDay(Part):
    """One day typed by hand: low and high of the air, and the hours in which rain is expected.

    humidity_pct: the day's mean; where left out, the dew point is taken from the day's low.
    rain: local hours as "HH:MM-HH:MM".
    """

    date: date
    low_c: Celsius
    high_c: Celsius
    humidity_pct: Percent | None = None
    wind_ms: Amount = 3.0
    cloud_pct: Percent = 60.0
    rain: Annotated[tuple[Annotated[str, Field(pattern=r"^\d\d:\d\d-\d\d:\d\d$")], ...], as_tuple()] = ()

    @model_validator(mode="after")
    def _low_below_high(self) -> Self:
        if self.low_c > self.high_c:
            raise ValueError(f"low_c {self.low_c:g} is above high_c {self.high_c:g}")
        return self


class DayShape(Part):
    """How the air goes from a day's low to its high and back: the constants of Parton & Logan 1981, as fitted here.

    high_h: lag of the high after solar noon [h]. decay: how fast the night cools. low_h: lag of the low after
    sunrise [h].
    """

    high_h: Annotated[Number, Field(ge=0, le=6)]
    decay: Annotated[Number, Field(ge=0.2, le=10)]
    low_h: Annotated[Number, Field(ge=-3, le=4)]


class Forecast(Part):
    """The weather the job is planned on: an hourly file (CSV or JSON) beside the job file, or typed days.

    columns: which column of an hourly sheet is what, in which unit, e.g. "time=Zeit[utc], air_c=Temp[F]".
    day_shape: the site's own shape of a day, for typed days; the published one where left out.
    """

    hourly: FileName | None = None
    columns: Text = ""
    days: Annotated[tuple[ForecastDay, ...], as_tuple()] = ()
    day_shape: DayShape | None = None
    source: Text = ""
    issued: datetime | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if (self.hourly is None) == (not self.days):
            raise ValueError("a forecast needs either hourly (a file) or days, not both")
        if self.columns and self.hourly is None:
            raise ValueError("columns go with hourly only, not with days")
        if self.day_shape and not self.days:
            raise ValueError("day_shape goes with days only, not with hourly")
        return self


class Structure(Part):
    """A pier, an abutment, a span: gangs lose time when they move from one to another."""

    id: Identifier
    name: Name


class Element(Part):
    """The thing repaired.

    quantities: amounts by name, e.g. {area_m2 = 7.4}; the method's operations draw on them.
    lanes: what must be shut for operations that need it; none where the work is off the road.
    thickness_m, faces: for its temperature; `faces` exposed to the air (1 or 2).
    exposure: what stands before the face that is worked on; tent_c: what a heated tent holds [°C], where tented.
    faces_to: where an open face looks; a second face looks the opposite way. Left out, the sun's heat is left out too
        and the night's loss is that of a face looking up: the safe side for cold.
    absorptance: share of the sunlight that the face takes up; the job's where left out.
    material: concrete, or steel for posts, plates and bearings.
    hours: operation lengths [h] that differ from the method's, by operation id.
    omit: operations of the method that this element does not need.
    products: product ids to use in place of the method's, e.g. a cold-season grade.
    held: a speed or lane restriction stands for the whole repair, so its exposed stretches don't apply.
    """

    id: Identifier
    name: Name
    structure: Identifier
    method: Identifier
    quantities: dict[Identifier, Amount] = Field(default_factory=dict)
    lanes: Identifiers = ()
    thickness_m: Annotated[Number, Field(gt=0, le=5)] = 0.3
    faces: Literal[1, 2] = 1
    exposure: Exposure = "open"
    faces_to: Facing | None = None
    absorptance: Share | None = None
    tent_c: Celsius | None = None
    material: Material = "concrete"
    hours: dict[Identifier, Hours] = Field(default_factory=dict)
    omit: Identifiers = ()
    products: dict[Identifier, Identifier] = Field(default_factory=dict)
    held: bool = False

    @property
    def surface_kind(self) -> SurfaceKind:
        """All that its temperature depends on besides the weather."""
        return SurfaceKind(
            self.thickness_m,
            self.faces,
            self.exposure,
            self.faces_to,
            self.absorptance,
            self.tent_c,
            self.material,
        )

    @model_validator(mode="after")
    def _tent_holds_something(self) -> Self:
        if self.exposure == "tented" and self.tent_c is None:
            raise ValueError("exposure 'tented' needs tent_c, the temperature that the tent holds")
        if self.exposure != "tented" and self.tent_c is not None:
            raise ValueError("tent_c is what a tent holds, so it needs exposure = 'tented'")
        return self

    @model_validator(mode="after")
    def _sees_the_sky_to_face_it(self) -> Self:
        if self.faces_to is not None and self.exposure in ("sheltered", "buried", "tented"):
            raise ValueError(f"faces_to is for faces that see the sky; {self.exposure} faces do not")
        return self


class Link(Part):
    """An order between operations "ELEMENT/OP" of two elements, from finish to start, in hours [h]."""

    after: OperationKey
    before: OperationKey
    not_before_h: Hours = 0.0
    not_after_h: Hours | None = None
    reason: Text = ""

    @model_validator(mode="after")
    def _ends_in_order(self) -> Self:
        if self.not_after_h is not None and self.not_after_h < self.not_before_h:
            raise ValueError("not_after_h must not be less than not_before_h")
        return self


class Job(Part):
    """Everything that a plan is made from, after the library's methods and products were added."""

    liftgap_job: Literal[1]
    job: Heading
    site: Site
    forecast: Forecast
    gangs: Annotated[tuple[Gang, ...], as_tuple()]
    plant: Annotated[tuple[Plant, ...], as_tuple()] = ()
    lanes: Annotated[tuple[Lane, ...], as_tuple()] = ()
    closures: Annotated[tuple[Closure, ...], as_tuple()] = ()
    products: Annotated[tuple[Product, ...], as_tuple()] = ()
    methods: Annotated[tuple[Method, ...], as_tuple()] = ()
    structures: Annotated[tuple[Structure, ...], as_tuple()]
    elements: Annotated[tuple[Element, ...], as_tuple()]
    links: Annotated[tuple[Link, ...], as_tuple()] = ()
    alternatives: Annotated[tuple[OfferedAlternative, ...], as_tuple()] = ()
    remedies: Annotated[tuple[OfferedRemedy, ...], as_tuple()] = ()
    pins: Annotated[tuple[Pin, ...], as_tuple()] = ()
    releasers: Annotated[tuple[Releaser, ...], as_tuple()] = ()
    releases: Annotated[tuple[OfferedRelease, ...], as_tuple()] = ()
    record: Annotated[tuple[SiteEntry, ...], as_tuple()] = ()
    surface: SurfaceSettings = SurfaceSettings()
    issues: Annotated[tuple[ProgrammeIssue, ...], as_tuple()] = ()

    @property
    def time(self) -> SiteTime:
        """The job's slot axis."""
        return _site_time(self.job.first_day, self.job.days, self.site.zone)

    def element(self, id: str) -> Element:
        """Return the element called `id`; KeyError if there is none."""
        return _find(self.elements, id)

    def method(self, id: str) -> Method:
        """Return the method called `id`; KeyError if there is none."""
        return _find(self.methods, id)

    def product(self, id: str) -> Product:
        """Return the product called `id`; KeyError if there is none."""
        return _find(self.products, id)

    def gang(self, id: str) -> Gang:
        """Return the gang called `id`; KeyError if there is none."""
        return _find(self.gangs, id)

    def closure(self, id: str) -> Closure:
        """Return the closure called `id`; KeyError if there is none."""
        return _find(self.closures, id)

    def releaser(self, id: str) -> Releaser:
        """Return the one who releases hold points called `id`; KeyError if there is none."""
        return _find(self.releasers, id)

    def release_for(self, element: str, operation: MethodOperation) -> Release | None:
        """Return who releases an operation's hold point on an element: the job's word, else the method's, if any."""
        for stated in self.releases:
            if element in stated.elements and stated.operation == operation.id:
                return stated
        return operation.release

    def alternatives_for(self, element: Element, operation: MethodOperation) -> tuple[Alternative, ...]:
        """Return what may be done in place of an operation of `element`: its method's offers, then the job's."""
        ours = (one for one in self.alternatives if element.id in one.elements and one.operation == operation.id)
        return (*operation.alternatives, *ours)

    def remedy_for(self, element: Element, gap: MethodGap) -> Remedy | None:
        """Return the work that mends a gap of `element`: the job's, else the method's, if either offers any."""
        for offered in self.remedies:
            if element.id in offered.elements and (offered.after, offered.before) == (gap.after, gap.before):
                return offered
        return gap.remedy_work


@lru_cache(maxsize=64)
def _site_time(first_day: date, days: int, zone: str) -> SiteTime:
    """Return a slot axis, kept with what it has worked out: a job asks for it at every turn."""
    return SiteTime(first_day, days, ZoneInfo(zone))


_P = TypeVar("_P", Element, Method, Product, Gang, Closure, Releaser)


def _find(parts: tuple[_P, ...], id: str) -> _P:
    for part in parts:
        if part.id == id:
            return part
    raise KeyError(id)
