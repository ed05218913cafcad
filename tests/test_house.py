"""The rooms of the house: who may import whom, read from the imports themselves."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGES = {
    "pointsleft_models": ROOT / "models/pointsleft_models",
    "pointsleft": ROOT / "simulator/pointsleft",
}

USING = {"football", "fitting", "laws", "values", "bundle", "playthrough"}
FITTING_UP = USING | {"plays", "recipes"}

#: Room -> rooms of the same package that it may import. Reading a source (plays), fitting
#: (recipes) and using a fit (laws, values, bundle) are three rooms: what uses a fit knows neither
#: where plays come from nor how a fit is made.
MODELS = {
    "football": set(),
    "plays": {"football"},
    "fitting": set(),
    "laws": {"football", "fitting"},
    "values": {"football", "fitting", "laws"},
    "bundle": {"football", "fitting", "laws", "values"},
    "playthrough": USING - {"playthrough"},
    "recipes": USING | {"plays"},
    "checks": FITTING_UP,
    "bench": FITTING_UP,
    "cards": FITTING_UP | {"checks"},
}
SIMULATOR = {
    "log": set(),
    "pricing": {"log"},
    "game": {"log", "pricing"},
    "calls": {"log", "pricing"},
    "endgame": {"log", "pricing"},
    "invent": {"log", "pricing"},
    "voices": {"log", "pricing", "game", "report"},
    "trial": {"log", "pricing", "game", "report", "invent", "voices"},
    "players": {"log", "pricing", "game"},
    "report": {"log", "pricing", "game", "calls", "endgame", "players"},
    "cli": {"log", "pricing", "game", "calls", "endgame", "players", "voices", "report"},
    "bench": {
        "log",
        "endgame",
        "invent",
        "trial",
        "pricing",
        "game",
        "players",
        "voices",
        "report",
        "cli",
    },
    "reference": {"log", "pricing", "game", "calls", "endgame", "players", "report", "cli"},
}

#: Room of the simulator -> rooms of the models that it may import.
ACROSS = {
    "log": {"football"},
    "pricing": USING,
    "game": USING,
    "calls": USING,
    "endgame": USING,
    "players": USING,
    "invent": USING,
    "voices": USING,
    "trial": USING,
    "report": {"football"},
    "cli": FITTING_UP,
    "bench": FITTING_UP | {"bench", "cards"},
    "reference": FITTING_UP | {"checks", "cards"},
}


def modules() -> dict[str, Path]:
    """Dotted name -> file of every module of ours."""
    found = {}
    for package, folder in PACKAGES.items():
        for path in folder.rglob("*.py"):
            parts = [package, *path.relative_to(folder).with_suffix("").parts]
            found[".".join(p for p in parts if p != "__init__")] = path
    return found


MODULES = modules()


def imported(name: str, text: str, known: dict[str, Path]) -> Iterator[str]:
    """Modules of ours that a module names anywhere, also inside functions."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            targets = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name} imports by dots; write the whole name"
            module = node.module or ""
            inner = [f"{module}.{alias.name}" for alias in node.names]
            targets = [sub if sub in known else module for sub in inner]
        else:
            continue
        yield from (t for t in targets if t.split(".")[0] in PACKAGES and t != name)


EDGES = {
    name: sorted(set(imported(name, path.read_text(encoding="utf-8"), MODULES)))
    for name, path in MODULES.items()
}


def room(module: str) -> tuple[str, str]:
    """Package and room of a module; the package itself has the room ``""``."""
    package, *rest = module.split(".")
    return package, rest[0] if rest else ""


def faults(edges: dict[str, list[str]]) -> list[str]:
    """Every import that goes the wrong way."""
    found = []
    for name, targets in edges.items():
        package, own = room(name)
        inside = MODELS if package == "pointsleft_models" else SIMULATOR
        for target in targets:
            other_package, other = room(target)
            if other_package == package:
                allowed = other in {own, ""} or other in inside.get(own, set())
            elif package == "pointsleft_models":
                allowed = False
            else:
                allowed = other == "" or other in ACROSS.get(own, set())
            if not allowed:
                found.append(f"{name} imports {target}")
    return found


def circle(edges: dict[str, list[str]]) -> list[str]:
    """The modules of one circle, empty when there is none."""
    done: set[str] = set()

    def walk(name: str, path: list[str]) -> list[str]:
        if name in path:
            return [*path[path.index(name) :], name]
        if name in done:
            return []
        for target in edges.get(name, []):
            if found := walk(target, [*path, name]):
                return found
        done.add(name)
        return []

    for name in edges:
        if found := walk(name, []):
            return found
    return []


def test_every_room_is_known() -> None:
    rooms = {room(name) for name in MODULES}
    models = {r for package, r in rooms if package == "pointsleft_models" and r}
    simulator = {r for package, r in rooms if package == "pointsleft" and r}
    assert models <= {*MODELS, "shipped"}
    assert simulator <= set(SIMULATOR)


def test_imports_run_one_way() -> None:
    assert faults(EDGES) == []


def test_no_circles() -> None:
    assert circle(EDGES) == []


@pytest.mark.parametrize(
    ("name", "target"),
    [
        ("pointsleft_models.laws.passing", "pointsleft.log.record"),
        ("pointsleft_models.football.rules", "pointsleft_models.laws.passing"),
        ("pointsleft_models.values.wins", "pointsleft_models.recipes.wins"),
        ("pointsleft_models.laws.passing", "pointsleft_models.plays.archive"),
        ("pointsleft.log.record", "pointsleft.pricing.snap"),
        ("pointsleft.pricing.snap", "pointsleft.report.page"),
        ("pointsleft.report.page", "pointsleft_models.laws.passing"),
    ],
)
def test_a_wrong_way_would_be_seen(name: str, target: str) -> None:
    """Negative control."""
    assert faults(EDGES | {name: [*EDGES.get(name, []), target]}) == [f"{name} imports {target}"]


def test_a_circle_would_be_seen() -> None:
    """Negative control."""
    low, high = "pointsleft.log.record", "pointsleft.log.reader"
    assert circle(EDGES | {low: [*EDGES[low], high]})


def test_imports_inside_functions_are_seen() -> None:
    text = "def f() -> None:\n    from pointsleft.report import page\n"
    assert list(imported("x", text, MODULES)) == ["pointsleft.report.page"]
