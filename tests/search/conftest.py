"""The sample library, built once with the small model, which tells near from far by shared words at best."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from fightnotes.library import Library, open_library
from fightnotes.search.filters import Filters
from tests.search.samples import LIBRARY, NAMES

Passing = Callable[..., set[str]]


@pytest.fixture(scope="session")
def root(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    folder = tmp_path_factory.mktemp("three-bouts")
    for name, text in {**LIBRARY, "library.yaml": f"model: {small_model}\n" + LIBRARY["library.yaml"]}.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    report = open_library(folder).build()
    assert not report.problems
    return folder


@pytest.fixture(scope="session")
def library(root: Path) -> Library:
    return open_library(root)


@pytest.fixture(scope="session")
def passing(library: Library) -> Passing:
    """Names of the timed moments that pass filters, with all notes of a moment."""

    def names(**filters: object) -> set[str]:
        found = library.find("", Filters.model_validate(filters), limit=100)
        places = {hit.place for hit in found.hits}
        places |= {twin.place for hit in found.hits for twin in hit.same_moment}
        return {NAMES[place] for place in places & NAMES.keys()}

    return names
