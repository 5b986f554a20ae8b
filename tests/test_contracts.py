"""The import contracts name modules one by one: a new module of the solver must not slip past them."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize(
    ("source", "seen"),
    [
        ("app", {"messages", "beside"}),
        ("planner.closures", {"run", "closure_sets", "in_time", "shortest_use", "let_go"}),
    ],
)
def test_all_of_the_solver_but_what_a_contract_leaves_open_is_forbidden(source: str, seen: set[str]) -> None:
    table = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = table["tool"]["importlinter"]["contracts"]
    contract = next(one for one in contracts if one.get("source_modules") == [source])
    modules = {path.stem for path in (ROOT / "planner/solve").glob("*.py")} - {"__init__"}
    forbidden = {name.removeprefix("planner.solve.") for name in contract["forbidden_modules"] if ".solve." in name}
    assert forbidden == modules - seen


def test_every_file_is_written_in_one_way() -> None:
    """Only `jobfile/write.py` opens files to write; others may move what it wrote, as unsaved work is moved."""
    writing = re.compile(
        r"\.write_(bytes|text)\(|\bopen\([^)]*[\"'][wax]b?[\"']|fdopen|mkstemp|NamedTemporaryFile|QSaveFile"
    )
    sources = (path for top in ("planner", "app") for path in (ROOT / top).rglob("*.py"))
    found = {str(path.relative_to(ROOT)) for path in sources if writing.search(path.read_text(encoding="utf-8"))}
    assert found == {"planner/jobfile/write.py"}
