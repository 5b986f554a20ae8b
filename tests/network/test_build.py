"""The graph, and its parts."""

from __future__ import annotations

from planner.network.build import components, network
from planner.network.work import write_out
from tests.jobs import element, small_fields, small_job


def test_graph_has_an_edge_for_each_order_and_each_gap() -> None:
    work = write_out(small_job())
    graph = network(work)
    assert list(graph) == ["E1/prime", "E1/coat", "E1/backfill"]
    assert graph.nodes["E1/coat"]["operation"].length == 12
    kinds = [(before, after, gap is not None) for before, after, gap in graph.edges(data="gap")]
    assert kinds == [
        ("E1/prime", "E1/coat", False),
        ("E1/prime", "E1/coat", True),
        ("E1/coat", "E1/backfill", False),
        ("E1/coat", "E1/backfill", True),
    ]


def test_elements_are_parts_of_their_own_until_a_link_joins_them() -> None:
    fields = small_fields()
    fields["elements"] = [element("E1"), element("E2"), element("E3")]
    work = write_out(small_job(**fields))
    assert [len(part.operations) for part in components(work, network(work))] == [3, 3, 3]
    fields["links"] = [{"after": "E1/coat", "before": "E3/prime"}]
    work = write_out(small_job(**fields))
    parts = components(work, network(work))
    assert [{one.element for one in part.operations} for part in parts] == [{"E1", "E3"}, {"E2"}]
    assert sum(len(part.follows) for part in parts) == len(work.follows) == 7
    assert sum(len(part.gaps) for part in parts) == len(work.gaps) == 6
