"""The house stays as it was designed: arrows between the rooms, and the public names."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import fightnotes

PACKAGE = Path(fightnotes.__file__).parent
FLOORS = (
    ("visible",),
    ("errors",),
    ("clock",),
    ("model",),
    ("pages",),
    ("language",),
    ("reading",),
    ("editing",),
    ("index",),
    ("search",),
    ("suggesting",),
    ("proposing",),
    ("vocabulary",),
    ("audit",),
    ("tally",),
    ("briefing",),
    ("cutting",),
    ("starting",),
    ("library",),
    ("web",),
    ("cli",),
    ("__main__",),
)
"""Lowest first: a module imports from its own floor and those below it."""
FLOOR_OF = {room: level for level, rooms in enumerate(FLOORS) for room in rooms}


def imports_of(path: Path) -> set[str]:
    """Rooms of the package that a file imports from."""
    rooms: set[str] = set()
    package = (PACKAGE.name, *path.relative_to(PACKAGE).parent.parts)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(package[: len(package) - node.level + 1]) if node.level else ""
            module = ".".join(filter(None, (base, node.module)))
            names = [f"{module}.{alias.name}" for alias in node.names]
        else:
            continue
        rooms |= {name.split(".")[1] for name in names if name.startswith("fightnotes.")}
    return rooms & FLOOR_OF.keys()


MODULES = [path for path in PACKAGE.rglob("*.py") if path != PACKAGE / "__init__.py"]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_arrows_run_down(path: Path) -> None:
    relative = path.relative_to(PACKAGE)
    room = relative.parts[0].removesuffix(".py")
    upward = {other for other in imports_of(path) if FLOOR_OF[other] > FLOOR_OF[room]}
    assert not upward, f"{relative} imports from {', '.join(sorted(upward))}, which stands above it"


def test_every_room_has_its_floor() -> None:
    rooms = {path.relative_to(PACKAGE).parts[0].removesuffix(".py") for path in MODULES}
    assert rooms <= FLOOR_OF.keys()


def test_no_two_classes_have_one_name() -> None:
    places: dict[str, list[str]] = {}
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                places.setdefault(node.name, []).append(path.relative_to(PACKAGE).as_posix())
    assert {name: files for name, files in places.items() if len(files) > 1} == {}


def test_public_names() -> None:
    assert fightnotes.__all__ == [
        "Arrangement", "Assembly", "Bout", "BuildReport", "BurntIn", "CUT_COLUMNS", "Concept", "Fighter",
        "FightnotesError", "Filters", "Found", "Hit", "Library", "MOMENT_COLUMNS", "Moment", "Plan", "Problem",
        "Proposal", "ReelForm", "Segment", "Selection", "Suggestion", "Vocabulary", "is_concept_id", "markdown_answer",
        "open_library", "reel_form", "rounds_of", "seconds_of", "timestamp_lists", "written_seconds",
    ]  # fmt: skip
    for name in fightnotes.__all__:
        assert getattr(fightnotes, name) is not None
    stub = ast.parse((PACKAGE / "__init__.pyi").read_text(encoding="utf-8"))
    typed = [alias.asname for node in stub.body if isinstance(node, ast.ImportFrom) for alias in node.names]
    assert sorted(filter(None, typed)) == fightnotes.__all__


def test_the_command_line_calls_the_library_alone() -> None:
    allowed = {"cli", "errors", "library", "visible", "web"}
    for path in (PACKAGE / "cli").glob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        typing_only = {
            inner for node in tree.body if isinstance(node, ast.If) for inner in ast.walk(node) if inner is not node
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node not in typing_only and node.module:
                rooms = node.module.split(".")[1:2] if node.module.startswith("fightnotes.") else []
                assert allowed.issuperset(rooms), f"{path.name} imports from {node.module}"


def test_commands_print_through_the_modules_that_make_text_safe() -> None:
    for path in (PACKAGE / "cli").glob("*.py"):
        if path.stem in ("output", "layout", "streams"):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            assert not (isinstance(node, ast.Name) and node.id == "print"), path.name
            assert not (isinstance(node, ast.Attribute) and node.attr == "stdout"), path.name


def test_a_name_that_is_not_there() -> None:
    with pytest.raises(AttributeError, match="no attribute 'close_library'"):
        _ = fightnotes.close_library


def test_only_the_index_speaks_sql() -> None:
    """Whoever else asks it speaks to `Store`, so that a store may be kept by another engine."""
    speakers = {
        path.relative_to(PACKAGE).parts[0]
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr in ("execute", "executemany", "connection")
    }
    assert speakers == {"index"}
