"""The contracts of pyproject.toml notice what they are for: an import upwards between any two layers, and an
undeclared module. ``lint-imports`` holds the code to them; this holds them, and that no file grows past a few pages.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from copy import deepcopy
from itertools import pairwise
from pathlib import Path
from typing import TypeGuard

import grimp
import pytest
from importlinter.api import read_configuration
from importlinter.contracts.acyclic_siblings import AcyclicSiblingsContract
from importlinter.contracts.forbidden import ForbiddenContract
from importlinter.contracts.layers import LayersContract

ROOT = Path(__file__).parent.parent
LONGEST = 400
"""Lines of a file of Python. What is longer has a second subject in it, which goes into a module of its own."""
OPTIONS = read_configuration(str(ROOT / "pyproject.toml"))
KINDS = {
    "layers": LayersContract,
    "forbidden": ForbiddenContract,
    "acyclic_siblings": AcyclicSiblingsContract,
}
CONTRACTS = {one["name"]: one for one in OPTIONS["contracts_options"]}
LAYERS = [name for name, one in CONTRACTS.items() if one["type"] == "layers"]
EXHAUSTIVE = [name for name in LAYERS if CONTRACTS[name].get("containers")]


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("golfstats", "courses", "players", include_external_packages=True)


def is_kept(name: str, graph: grimp.ImportGraph) -> bool:
    contract = KINDS[CONTRACTS[name]["type"]](name, OPTIONS["session_options"], CONTRACTS[name])
    return bool(contract.check(graph, verbose=False).kept)


def with_import(graph: grimp.ImportGraph, importer: str, imported: str) -> grimp.ImportGraph:
    changed = deepcopy(graph)
    changed.add_import(importer=importer, imported=imported)
    return changed


def boundaries(name: str, graph: grimp.ImportGraph) -> Iterator[tuple[str, str]]:
    """A module of each layer and one of the next layer below it, in the first container that has both."""
    layers = [_names(layer) for layer in CONTRACTS[name]["layers"]]
    containers = [f"{one}." for one in CONTRACTS[name].get("containers", [])] or [""]
    for upper, lower in pairwise(layers):
        pairs = (
            (container + high, container + low)
            for container in containers
            for high in upper
            for low in lower
            if {container + high, container + low} <= graph.modules
        )
        found = next(pairs, None)
        if found is not None:
            yield found


def _names(layer: str) -> list[str]:
    return [one.strip(" ()") for one in layer.replace("|", ":").split(":")]


@pytest.mark.parametrize("name", CONTRACTS)
def test_kept_as_the_code_is(name: str, graph: grimp.ImportGraph) -> None:
    assert is_kept(name, deepcopy(graph))


@pytest.mark.parametrize("name", LAYERS)
def test_an_import_upwards_breaks_each_layer(name: str, graph: grimp.ImportGraph) -> None:
    found = list(boundaries(name, graph))
    assert found
    unnoticed = [pair for pair in found if is_kept(name, with_import(graph, pair[1], pair[0]))]
    assert unnoticed == []


@pytest.mark.parametrize("name", EXHAUSTIVE)
def test_a_module_without_a_place_is_noticed(name: str, graph: grimp.ImportGraph) -> None:
    changed = deepcopy(graph)
    changed.add_module(f"{CONTRACTS[name]['containers'][0]}.attic")
    assert not is_kept(name, changed)


@pytest.mark.parametrize(
    ("name", "importer", "imported"),
    [
        (
            "The golf mathematics is pure: numpy, scipy and the standard library",
            "golfstats.calc.figure",
            "django",
        ),
        ("Operations and doors never calculate", "players.rounds.operations", "golfstats.calc.figure"),
        ("Operations and doors never calculate", "golfstats.doors.pages.shown", "golfstats.calc.figure"),
        ("Doors for programs never touch tables", "golfstats.doors.graphql.schema", "players.rounds.models"),
        (
            "No parts of any package import each other in a circle",
            "golfstats.calc.greens.surface.cost",
            "golfstats.calc.greens.notes",
        ),
    ],
)
def test_what_is_forbidden_is_noticed(
    name: str, importer: str, imported: str, graph: grimp.ImportGraph
) -> None:
    assert not is_kept(name, with_import(graph, importer, imported))


@pytest.mark.parametrize(
    "door", sorted((ROOT / "golfstats" / "doors").rglob("*.py")), ids=lambda door: door.stem
)
def test_doors_ask_rooms_and_never_tables(door: Path) -> None:
    asked = [one.lineno for one in ast.walk(ast.parse(door.read_text())) if _is_manager(one)]
    assert asked == []


def test_a_table_that_is_asked_is_noticed() -> None:
    asked = ast.walk(ast.parse("Round.objects.filter(id=1)\nRound._base_manager.all()\nround_.objections"))
    assert [one.lineno for one in asked if _is_manager(one)] == [1, 2]


def _is_manager(node: ast.AST) -> TypeGuard[ast.Attribute]:
    return isinstance(node, ast.Attribute) and node.attr in {"objects", "_base_manager", "_default_manager"}


def test_no_file_is_long() -> None:
    files = [
        path
        for folder in ("golfstats", "courses", "players", "tests")
        for path in (ROOT / folder).rglob("*.py")
        if "migrations" not in path.parts
    ]
    lines = {str(path.relative_to(ROOT)): len(path.read_text().splitlines()) for path in files}
    assert {name: length for name, length in lines.items() if length > LONGEST} == {}
    assert len(lines) > 500
