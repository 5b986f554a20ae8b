"""What lies before and after recorded work, against networkx on the same orders."""

from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from planner.audit.ties import orders
from planner.jobfile.load import load_job
from planner.model import Aim
from planner.site_record.work_order import WorkOrder, reached
from planner.solve.run import solve_job
from tests.solve.conftest import SAMPLES


def test_the_order_around_recorded_work_is_the_graphs() -> None:
    loaded = load_job(SAMPLES / "three_coats.toml")
    plan = solve_job(loaded.job, loaded.weather, aim=Aim.FINISH, seconds=20, trials=5).plan
    assert plan is not None
    graph = nx.DiGraph((one.earlier, one.later) for one in orders(loaded.job))
    recorded = list(graph)[::2]
    found = WorkOrder(loaded.job, plan, recorded)
    for key in graph:
        assert set(found.before(key)) == nx.ancestors(graph, key) & set(recorded)
        assert set(found.after(key)) == nx.descendants(graph, key) & set(recorded)


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), max_size=25))
def test_what_is_reached_is_what_networkx_reaches_also_round_in_a_circle(pairs: list[tuple[int, int]]) -> None:
    graph = nx.DiGraph((str(first), str(second)) for first, second in pairs)
    arcs = {key: list(graph.successors(key)) for key in graph}
    for key in graph:
        found = reached(arcs, key)
        assert len(found) == len(set(found))
        assert set(found) == nx.descendants(graph, key)
