"""What an element's temperature depends on: what its face sees, and the settings that stand for all of them."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from planner.model.base import Amount, Number, Part

Exposure = Literal["open", "sheltered", "buried", "shuttered", "tented"]
"""What stands before the face that is worked on.

open: sun, sky and wind. sheltered: none of the sky and little wind (under a deck, in a trench, under sheets).
buried: earth. shuttered: formwork. tented: a heated tent that keeps its air at `tent_c` or warmer.
"""

Facing = Literal["up", "down", "north", "east", "south", "west"]

Material = Literal["concrete", "steel"]

Share = Annotated[Number, Field(ge=0, le=1)]
_Positive = Annotated[Number, Field(gt=0)]


class SurfaceKind(NamedTuple):
    """All that the temperature of an element depends on besides the weather; elements alike share one course."""

    thickness_m: float
    faces: int
    exposure: Exposure = "open"
    faces_to: Facing | None = None
    absorptance: float | None = None
    tent_c: float | None = None
    material: Material = "concrete"


class SurfaceSettings(Part):
    """How element temperatures are worked out, for all elements of the job. Every figure may be changed.

    film_factor, absorptance, sky_factor: what readings calibrate: the film between air and surface is multiplied by
        the first, a plain concrete face takes up the second as a share of the sun (0.6; bitumen 0.9: common tables),
        and the heat lost to the sky is multiplied by the third.
    doubt: how far [share] the sun's heat and the loss to the sky may be off: the band from coldest to warmest course.
    wind_share, sheltered_wind_share: wind at a face as a share of the forecast's, which is 10 m above the ground.
        0.75: FAO Irrigation Paper 56, eq. 47, 2 m above grass. 0.3: common practice, no source.
    emissivity: of the face for heat, 0.9 (EN ISO 6946). ground_reflectance: share of sunlight, 0.2 (common practice).
    conductivity_w_mk, heat_capacity_mj_m3k: concrete, 2.0 and 2.4 (EN ISO 10456 Table 3, high density).
    shutter_m2k_w: 21 mm plywood at 0.13 W/(m·K) (EN ISO 10456 Table 3).
    cover_m, cover_conductivity_w_mk, cover_heat_capacity_mj_m3k: earth before a buried face; clay or silt of
        EN ISO 13370 Table 7.
    tent_film_w_m2k: inside a tent, 1 / 0.13 m²K/W (EN ISO 6946 Table 7, still air before a wall).
    """

    film_factor: Annotated[Number, Field(ge=0.2, le=5)] = 1.0
    absorptance: Share = 0.6
    sky_factor: Annotated[Number, Field(ge=0, le=3)] = 1.0
    doubt: Annotated[Number, Field(ge=0, le=0.8)] = 0.3
    wind_share: Annotated[Number, Field(ge=0, le=1.5)] = 0.75
    sheltered_wind_share: Share = 0.3
    emissivity: Annotated[Number, Field(gt=0, le=1)] = 0.9
    ground_reflectance: Share = 0.2
    conductivity_w_mk: Annotated[Number, Field(ge=0.1, le=10)] = 2.0
    heat_capacity_mj_m3k: Annotated[Number, Field(ge=0.2, le=6)] = 2.4
    shutter_m2k_w: Annotated[Amount, Field(le=5)] = 0.16
    cover_m: Annotated[Number, Field(ge=0.05, le=5)] = 0.5
    cover_conductivity_w_mk: Annotated[Number, Field(ge=0.1, le=10)] = 1.5
    cover_heat_capacity_mj_m3k: Annotated[Number, Field(ge=0.2, le=6)] = 3.0
    tent_film_w_m2k: Annotated[_Positive, Field(le=100)] = 7.7
