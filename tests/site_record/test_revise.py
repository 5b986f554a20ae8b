"""What is said of a visit becomes entries: new ones, and corrections of what differs; said again it adds none."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.model.record import recorded_visits, replaced_by
from planner.site_record.entries import Draft, change_for
from planner.site_record.revise import Said, drafts_for, said_of
from tests.jobs import Fields, make_job
from tests.site_record.cases import PRIME, at, entry, wall_fields

NOTED = at("12:00")


def job_with(*record: Fields):
    return make_job(wall_fields(*record))


def after(job, drafts: tuple[Draft, ...]):
    """Return the job with the drafts written to its record."""
    entries = [one.model_dump(exclude_none=True) for one in job.record]
    return job_with(*entries, *change_for(job, *drafts).values())


def test_a_first_word_is_one_entry_and_a_finish_is_one_more() -> None:
    job = job_with()
    [draft] = drafts_for(job, PRIME, 1, Said(at("07:05"), None, {"surface_c": 9.5}), NOTED, "foreman")
    assert draft == Draft(PRIME, 1, NOTED, at("07:05"), readings={"surface_c": 9.5}, by="foreman")
    job = job_with(entry(PRIME, started="07:05", readings={"surface_c": 9.5}))
    [draft] = drafts_for(job, PRIME, 1, Said(at("07:05"), at("09:00"), {"surface_c": 9.5}), NOTED)
    assert (draft.started, draft.finished, draft.corrects) == (None, at("09:00"), None)


def test_what_differs_is_corrected_where_it_was_told() -> None:
    job = job_with(entry(PRIME, started="07:05", note="windy"), entry(PRIME, finished="09:00"))
    [draft] = drafts_for(job, PRIME, 1, Said(at("07:10"), at("09:00"), {}, "windy"), NOTED)
    assert (draft.started, draft.finished, draft.note, draft.corrects) == (at("07:10"), None, "windy", 1)
    [draft] = drafts_for(job, PRIME, 1, Said(at("07:05"), at("08:50"), {}, "windy"), NOTED)
    assert (draft.started, draft.finished, draft.corrects) == (None, at("08:50"), 2)


def test_an_entry_of_which_nothing_is_left_is_taken_back() -> None:
    job = job_with(entry(PRIME, started="07:05"), entry(PRIME, finished="09:00"))
    [draft] = drafts_for(job, PRIME, 1, Said(at("07:05"), None), NOTED)
    assert (draft.withdrawn, draft.corrects) == (True, 2)


def test_a_reading_told_twice_is_corrected_in_the_last_entry_only() -> None:
    record = (
        entry(PRIME, started="07:05", readings={"surface_c": 9.0}),
        entry(PRIME, finished="09:00", readings={"surface_c": 11.0}),
    )
    job = job_with(*record)
    assert drafts_for(job, PRIME, 1, said_of(job, PRIME, 1), NOTED) == ()
    [draft] = drafts_for(job, PRIME, 1, replace(said_of(job, PRIME, 1), readings={"surface_c": 12.0}), NOTED)
    assert (draft.corrects, draft.readings) == (2, {"surface_c": 12.0})


minutes = st.integers(at("06:00"), at("08:00"))
said = st.builds(
    Said,
    minutes,
    st.none() | st.integers(at("08:01"), at("11:00")),
    st.dictionaries(st.sampled_from(["surface_c", "air_c"]), st.integers(1, 30).map(float)),
    st.sampled_from(["", "wind", "late van"]),
    st.booleans(),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(said, min_size=1, max_size=4))
def test_the_record_says_what_was_said_last_and_keeps_all_that_was_said_before(words: list[Said]) -> None:
    job = job_with()
    for one in words:
        before = job.record
        job = after(job, drafts_for(job, PRIME, 1, one, NOTED))
        assert job.record[: len(before)] == before
        found = said_of(job, PRIME, 1)
        assert (found.started, found.finished, found.readings, found.note) == (
            *(one.started, one.finished),
            *(one.readings, one.note),
        )
        assert drafts_for(job, PRIME, 1, replace(one, last=found.last), NOTED) == ()
    [visit] = recorded_visits(job.record, job.time)
    assert visit.start == words[-1].started
    assert all(newer > older for older, newer in replaced_by(job.record).items())
