"""The critical path method against printed examples, and against networkx on random networks."""

from __future__ import annotations

from collections.abc import Mapping

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import NetworkError
from planner.network.bounds import Bound
from planner.network.critical import Arc, arcs_of, latest_arc, time_network


def _on_arrows(lengths: Mapping[str, int]) -> list[Arc]:
    """Return who follows whom among activities "I-J" that run between numbered events."""
    return [
        Arc(before, after) for before in lengths for after in lengths if before.split("-")[1] == after.split("-")[0]
    ]


def _after(forerunners: Mapping[str, str]) -> list[Arc]:
    return [Arc(before, after) for after, befores in forerunners.items() for before in befores]


def test_seven_activities_of_a_management_science_textbook() -> None:
    """Taylor, Introduction to Management Science, ch. 8 solutions, first table: ES EF LS LF slack as printed; the
    free float is worked out by hand."""
    lengths = {"1-2": 7, "1-3": 10, "2-4": 6, "3-4": 5, "3-5": 4, "4-5": 3, "5-6": 2}
    found = time_network(lengths, _on_arrows(lengths))
    assert found.finish == 20
    assert found.critical == ("1-3", "3-4", "4-5", "5-6")
    assert [
        (t.earliest_start, t.earliest_finish, t.latest_start, t.latest_finish, t.total) for t in found.times.values()
    ] == [
        (0, 7, 2, 9, 2),
        (0, 10, 0, 10, 0),
        (7, 13, 9, 15, 2),
        (10, 15, 10, 15, 0),
        (10, 14, 14, 18, 4),
        (15, 18, 15, 18, 0),
        (18, 20, 18, 20, 0),
    ]
    assert [times.free for times in found.times.values()] == [0, 0, 2, 0, 4, 0, 0]


def test_thirteen_activities_with_a_dummy() -> None:
    """The same solutions' second table: length and slack as printed; 4-5 is a dummy of length 0."""
    lengths = {
        "1-2": 8,
        "1-3": 10,
        "1-4": 9,
        "2-5": 6,
        "2-6": 4,
        "3-5": 5,
        "4-5": 0,
        "4-7": 7,
        "5-7": 12,
        "5-8": 15,
        "6-9": 18,
        "7-8": 4,
        "8-9": 7,
    }
    found = time_network(lengths, _on_arrows(lengths))
    assert found.finish == 38
    assert [times.total for times in found.times.values()] == [1, 0, 6, 1, 8, 0, 6, 11, 0, 1, 8, 0, 0]


def test_eight_activities_of_an_operations_textbook() -> None:
    """Render, Stair & Hanna, Quantitative Analysis for Management, and Heizer & Render, Operations Management: the
    hospital's air filters; lengths as printed, order and answers from memory and recomputed by hand."""
    lengths = {"A": 2, "B": 3, "C": 2, "D": 4, "E": 4, "F": 3, "G": 5, "H": 2}
    arcs = _after({"C": "A", "D": "AB", "E": "C", "F": "C", "G": "DE", "H": "FG"})
    found = time_network(lengths, arcs)
    assert found.finish == 15
    assert found.critical == ("A", "C", "E", "G", "H")
    assert {key: (t.earliest_start, t.latest_start) for key, t in found.times.items()} == {
        "A": (0, 0),
        "B": (0, 1),
        "C": (2, 2),
        "D": (3, 4),
        "E": (4, 4),
        "F": (4, 10),
        "G": (8, 8),
        "H": (13, 13),
    }


def test_fourteen_activities_of_an_operations_research_textbook() -> None:
    """Hillier & Lieberman, Introduction to Operations Research, the construction company's plant: lengths as
    printed, order and answers from memory and recomputed."""
    lengths = dict(zip("ABCDEFGHIJKLMN", (2, 4, 10, 6, 4, 5, 7, 9, 7, 8, 4, 5, 2, 6), strict=True))
    arcs = _after(
        {
            "B": "A",
            "C": "B",
            "D": "C",
            "E": "C",
            "F": "E",
            "G": "D",
            "H": "EG",
            "I": "C",
            "J": "FI",
            "K": "J",
            "L": "J",
            "M": "H",
            "N": "KL",
        }
    )
    found = time_network(lengths, arcs)
    assert found.finish == 44
    assert "".join(found.critical) == "ABCEFJLN"
    assert {key: times.total for key, times in found.times.items() if times.total} == {
        "D": 4,
        "G": 4,
        "H": 4,
        "I": 2,
        "K": 1,
        "M": 4,
    }


def test_greatest_lag_pulls_the_forerunner_later() -> None:
    """A (2) and C (20) free; B (3) follows both, at most 4 after A: A can't start before 14."""
    lengths = {"A": 2, "B": 3, "C": 20}
    arcs = [Arc("A", "B"), Arc("C", "B"), latest_arc("A", "B", 4, lengths)]
    found = time_network(lengths, arcs)
    assert found.times["A"].earliest_start == 14
    assert found.times["A"].latest_start == 18
    assert found.times["A"].free == 4
    assert found.times["B"].earliest_start == 20
    assert found.times["B"].free == 0
    assert found.critical == ("C", "B")


def test_greatest_lag_below_the_least_is_refused() -> None:
    lengths = {"A": 2, "B": 3}
    assert time_network(lengths, [Arc("A", "B", 24), latest_arc("A", "B", 24, lengths)]).finish == 29
    with pytest.raises(NetworkError) as caught:
        time_network(lengths, [Arc("A", "B", 25), latest_arc("A", "B", 24, lengths)])
    assert [finding.code for finding in caught.value.findings] == ["cycle"]


def test_circle_is_refused_by_name() -> None:
    with pytest.raises(NetworkError, match=r"[AB] → [AB] → [AB]"):
        time_network({"A": 1, "B": 1, "C": 1}, [Arc("A", "B"), Arc("B", "A"), Arc("B", "C")])


def test_deadline_moves_the_latest_times_only() -> None:
    found = time_network({"A": 2, "B": 3}, [Arc("A", "B")], deadline=10)
    assert (found.finish, found.times["B"].earliest_start, found.times["B"].latest_finish) == (5, 2, 10)
    assert found.times["A"].total == 5


def test_nothing_to_do_takes_no_time() -> None:
    assert time_network({}, []).finish == 0


def test_bounds_between_any_ends_become_arcs() -> None:
    """A takes 8, B takes 4: start to finish at least 20, start to start at most 18."""
    lengths = {"A": 8, "B": 4}
    bounds = [Bound(("A", "start"), ("B", "finish"), 20), Bound(("A", "start"), ("B", "start"), 0, 18)]
    arcs = list(arcs_of(bounds, lengths, frozenset()))
    assert time_network(lengths, arcs).times["B"].earliest_start == 16
    assert Arc("B", "A", -22) in arcs, "A starts at least -18 after B starts, so -22 after B finishes"


def test_bounds_that_a_broken_off_operation_can_loosen_are_left_out() -> None:
    """A may be broken off, so its finish can wait for B: at most 2 after A's finish is no bound on A's start."""
    lengths = {"A": 4, "B": 4}
    pair = [Bound(("A", "start"), ("B", "start"), 40), Bound(("A", "finish"), ("B", "start"), 0, 2)]
    assert time_network(lengths, arcs_of(pair, lengths, frozenset({"A"}))).times["B"].earliest_start == 40
    with pytest.raises(NetworkError):
        time_network(lengths, arcs_of(pair, lengths, frozenset()))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.integers(0, 9), min_size=1, max_size=12),
    st.sets(st.tuples(st.integers(0, 11), st.integers(0, 11)), max_size=30),
)
def test_random_networks_agree_with_networkx_longest_paths(durations: list[int], pairs: set[tuple[int, int]]) -> None:
    lengths = {str(number): length for number, length in enumerate(durations)}
    arcs = [Arc(str(one), str(other)) for one, other in sorted(pairs) if one < other < len(durations)]
    found = time_network(lengths, arcs)
    graph = nx.DiGraph()
    for key, length in lengths.items():
        graph.add_edge((key, "start"), (key, "finish"), weight=length)
    graph.add_edges_from([((arc.before, "finish"), (arc.after, "start")) for arc in arcs], weight=0)
    assert found.finish == nx.dag_longest_path_length(graph)
    assert sum(lengths[key] for key in found.critical) == found.finish
    for key, times in found.times.items():
        into = graph.subgraph(nx.ancestors(graph, (key, "start")) | {(key, "start")})
        onward = graph.subgraph(nx.descendants(graph, (key, "start")) | {(key, "start")})
        assert times.earliest_start == nx.dag_longest_path_length(into)
        assert times.latest_start == found.finish - nx.dag_longest_path_length(onward)
        assert 0 <= times.free <= times.total
    for key in found.critical:
        assert found.times[key].total == 0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(1, 9), min_size=2, max_size=8),
    st.sets(st.tuples(st.integers(0, 7), st.integers(0, 7)), max_size=14),
    st.integers(0, 7),
)
def test_slipping_by_the_spare_time_moves_only_what_it_says(
    durations: list[int], pairs: set[tuple[int, int]], chosen: int
) -> None:
    """Held to its total spare time the whole finishes as before, one slot more and it does not; held to its free
    spare time nothing else moves."""
    lengths = {str(number): length for number, length in enumerate(durations)}
    arcs = [Arc(str(one), str(other)) for one, other in sorted(pairs) if one < other < len(durations)]
    key = str(chosen % len(durations))
    before = time_network(lengths, arcs)

    def held(slots: int) -> tuple[int, dict[str, int]]:
        late = time_network({"wait": before.times[key].earliest_start + slots, **lengths}, [*arcs, Arc("wait", key)])
        return late.finish, {name: times.earliest_start for name, times in late.times.items() if name != "wait"}

    assert held(before.times[key].total)[0] == before.finish
    assert held(before.times[key].total + 1)[0] > before.finish
    moved = held(before.times[key].free)[1]
    assert [name for name, start in moved.items() if start != before.times[name].earliest_start] in ([], [key])
