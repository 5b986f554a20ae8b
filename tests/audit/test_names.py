"""Breaches are read by people: they speak of gangs, closures and elements by name, whatever their ids are."""

from __future__ import annotations

import pytest

from planner.audit.check import audit
from planner.audit.names import names_of
from planner.model import Plan
from tests.audit.feature_job import at, feature_job, feature_plan, feature_weather, put

JOB = feature_job()
NAMED = JOB.model_copy(
    update={
        "gangs": tuple(
            gang.model_copy(update={"name": name})
            for gang, name in zip(JOB.gangs, ("Coating gang", "Joint crew", "Paint gang"), strict=True)
        ),
        "structures": tuple(
            one.model_copy(update={"name": name})
            for one, name in zip(JOB.structures, ("North abutment", "South abutment", "Deck"), strict=True)
        ),
        "elements": tuple(one.model_copy(update={"name": f"Part {one.id.lower()}"}) for one in JOB.elements),
    }
)


@pytest.mark.parametrize(
    ("operation", "start", "code", "words"),
    [
        (
            "W2/prime",
            at(0, 8),
            "gang-busy",
            "Coating gang free for “Prime” (Part w2); it is on “Prime” (Part w1) until",
        ),
        ("W2/prime", at(0, 9.25), "move-too-short", "30 min for Coating gang to move from North abutment to South"),
        ("W1/prime", at(0, 5), "outside-shift", "“Prime” (Part w1) inside one shift of Coating gang ("),
        (
            "J1/saw",
            at(0, 21),
            "outside-closure",
            "between set-out and clearing of closure “Lane closure” of Mon 3 Jun",
        ),
        ("B2/jack", at(4, 7), "plant-over", "no more than 1 of “Jack set” in use"),
    ],
)
def test_words_name_what_they_speak_of(operation: str, start: int, code: str, words: str) -> None:
    plan: Plan = put(feature_plan(), operation, start)
    found = [one.required for one in audit(NAMED, feature_weather(NAMED), plan) if one.code == code]
    assert any(words in required for required in found), found


def test_a_crew_is_called_a_gang_and_what_is_not_known_stands_for_itself() -> None:
    names = names_of(NAMED)
    assert names.gang("G2") == "gang Joint crew"
    assert names.gang("G9") == "gang G9"
    assert names.lanes_of(["L1", "L9"]) == "Lane 1 and L9"
    assert names.closure("C9") == "closure C9"
    assert names.product(None) == "the layer"
