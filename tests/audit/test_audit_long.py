"""`fightnotes audit` where it finds very much: all of it is written, none of it is held, a page shows the first."""

from __future__ import annotations

import csv
import gc
import io
import json
import os
import re
import tracemalloc
from contextlib import redirect_stdout
from pathlib import Path

import pytest

from fightnotes.audit.html import MOST_SHOWN
from fightnotes.cli.main import app
from fightnotes.library import open_library
from tests.audit.test_audit_cases import FRONT_MATTER, VOCABULARY
from tests.cli.terminal import piped
from tests.conftest import RunCommand

NOTES = 100


def library_of(root: Path, tags: int, words: str = "A spin") -> Path:
    """`NOTES` notes, each with so many tags that name nothing."""
    named = " ".join(f"#whirl-{number}" for number in range(tags))
    lines = [f"- 0:{10 + number // 60:02}:{number % 60:02} {words} {number}. {named}" for number in range(NOTES)]
    (root / "bouts").mkdir(parents=True)
    (root / "library.yaml").write_text("")
    (root / "vocabulary.yaml").write_text(VOCABULARY)
    (root / "bouts/bout.md").write_text(FRONT_MATTER + "\n".join(lines) + "\n", encoding="utf-8")
    return root


@pytest.fixture(scope="module")
def long(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return library_of(tmp_path_factory.mktemp("long") / "library", 8)


def test_what_is_streamed_is_the_whole(long: Path, fightnotes: RunCommand) -> None:
    given = ("audit", "--library", long, "--only", "unknown-tag", "--format")
    whole = open_library(long).audit(only=("unknown-tag",)).model_dump(mode="json", exclude={"agreement"})
    assert len(whole["findings"]) == 8 * NOTES
    assert fightnotes(*given, "json").stdout == json.dumps(whole, ensure_ascii=False, indent=2) + "\n"
    rows = list(csv.DictReader(io.StringIO(fightnotes(*given, "csv").stdout)))
    assert [(row["rule"], int(row["line"]), int(row["column"])) for row in rows] == [
        (one["rule"], one["places"][0]["line"], one["places"][0]["column"]) for one in whole["findings"]
    ]
    table = fightnotes(*given, "table").stdout
    assert len(re.findall(r"#whirl-\d names no concept", table)) == 8 * NOTES
    assert f"0 errors, {8 * NOTES} warnings, 0 advice" in table


def test_streamed_json_is_ascii_where_the_encoding_is_not_of_unicode(tmp_path: Path) -> None:
    root = library_of(tmp_path / "library", 1, "Iturbeña, 風堀 and 🥊 turn")
    given = ("audit", "--library", root, "--only", "unknown-tag", "--format", "json")
    narrow, wide = piped(*given, PYTHONIOENCODING="ascii").stdout, piped(*given).stdout
    assert narrow.isascii()
    assert not wide.isascii()
    assert json.loads(narrow) == json.loads(wide)
    assert narrow.decode() == json.dumps(json.loads(wide), indent=2) + "\n"


def peak_of(root: Path, format: str) -> int:
    """Bytes that Python holds at most while the command runs, its output thrown away."""
    gc.collect()
    tracemalloc.start()
    try:
        with Path(os.devnull).open("w", encoding="utf-8") as nowhere, redirect_stdout(nowhere):
            given = ["audit", "--library", str(root), "--only", "unknown-tag", "--format", format]
            app(given, standalone_mode=False)
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize("format", ["json", "csv", "table"])
def test_memory_does_not_grow_with_what_is_found(tmp_path: Path, format: str) -> None:
    """The tags themselves are held; what is found of them would take three times their room."""
    few, many = library_of(tmp_path / "few", 4), library_of(tmp_path / "many", 40)
    peak_of(few, format)  # what is loaded once
    held, tags = [], []
    for root in (few, many):
        held.append(peak_of(root, format))
        gc.collect()
        tracemalloc.start()
        reading = open_library(root).read()
        tags.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        assert len(reading.segments) == NOTES
    assert held[1] - held[0] < 1.5 * (tags[1] - tags[0])


def test_a_page_shows_the_first_of_each_rule_and_says_how_to_list_the_rest(
    long: Path, tmp_path: Path, fightnotes: RunCommand
) -> None:
    page = tmp_path / "report.html"
    fightnotes("audit", "--library", long, "--only", "unknown-tag", "--html", page)
    said = page.read_text(encoding="utf-8")
    assert said.count('class="finding"') == MOST_SHOWN
    assert f"warning: unknown-tag ({8 * NOTES})" in said
    left = f"The first {MOST_SHOWN} are shown, by place; {8 * NOTES - MOST_SHOWN} more are"
    assert left in said
    command = re.search(r"<code>fightnotes (audit --only [\w-]+)</code>", said)
    assert command
    listed = fightnotes(*command[1].split(), "--library", long, "--format", "json")
    assert len(json.loads(listed.stdout)["findings"]) == 8 * NOTES


def test_the_baseline_takes_all_of_it(long: Path, tmp_path: Path, fightnotes: RunCommand) -> None:
    root = library_of(tmp_path / "library", 8)
    fightnotes("audit", "--library", root, "--set-baseline")
    again = json.loads(fightnotes("audit", "--library", root, "--format", "json").stdout)
    assert again["findings"] == []
    assert again["known"] >= 8 * NOTES


def test_python_searches_for_cycles_again_afterwards(long: Path) -> None:
    open_library(long).audit(only=("unknown-tag",))
    assert gc.isenabled()
