"""Query text is data: whatever is typed, a search answers and never breaks."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from fightnotes.library import Library
from tests.conftest import RunCommand

ODD = [
    "", " ", "\n\t", '"', '""', '"""', "'", "“", "”jab“", '"jab', 'jab"', '"jab" "', "jab AND", "OR",
    "NOT", "AND OR NOT", "NEAR(jab hook, 5)", "text:jab", "labels : jab", "{text labels} : jab",
    "-text:jab", "^jab", "jab*", "*", "jab + hook", "(jab", "jab)", "()", "jab; DROP TABLE words; --",
    "'; SELECT * FROM segments --", "%", "_", "\\", "\\\\", "/", "#", "#jab", "by:corvale", "$(ls)",
    "`ls`", "\0", "jab\0hook", "\x02\x03", "\x1b[31mjab", "\ud800", "jab \udcff hook", "\ufeffjab",
    "\u202ejab", "🥊", "👩🏽‍🦱 jabs", "e\u0301" * 50, "\u0301", "風堀 澪", "Օրժելյան", "क्षत्रिय", "ﷺ",
    "ǅ ß ẞ İ ı ﬁ", "½ ² ٣", "jab" * 4000, "jab " * 2500, '"' * 10_000, "🥊" * 10_000, "qwxzvk " * 1400,
    "not " * 2500, "corvale " * 1250, '"a" ' * 2500, "(" * 10_000, "outside step " * 800,
]  # fmt: skip
PIECES = st.sampled_from(
    [
        "jab",
        "corvale",
        "outside step",
        "not",
        '"',
        "“",
        "*",
        "(",
        ")",
        ":",
        "AND",
        "OR",
        "NEAR",
        "\0",
        "\ud83e",
        "🥊",
        "'",
        "-",
        "é",
    ]
)
TEXTS = st.one_of(
    st.text(st.characters(exclude_categories=()), max_size=60),
    st.lists(st.one_of(PIECES, st.text(max_size=5)), max_size=12).map(" ".join),
    st.lists(PIECES, max_size=12).map("".join),
)


def check(library: Library, text: str) -> None:
    found = library.find(text, limit=3)
    scores = [hit.score for hit in found.hits]
    assert scores == sorted(scores, reverse=True)
    assert len(scores) <= 3
    assert found.hits or found.notices
    json.dumps([hit.as_json() for hit in found.hits])
    found.query.text.encode()


@pytest.mark.parametrize("text", ODD, ids=lambda text: repr(text[:20]))
def test_odd_texts(library: Library, text: str) -> None:
    check(library, text)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(TEXTS)
@example("jab" + "\ud800" * 5)
def test_any_text(library: Library, text: str) -> None:
    check(library, text)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(TEXTS)
@example("\ud800")
@example('"' * 10_000)
@example("-")
def test_any_text_through_the_command(root: Path, fightnotes: RunCommand, text: str) -> None:
    result = fightnotes("find", "--library", root, "--format", "json", "--limit", "2", "--", text)
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert document.keys() == {"query", "hits", "notices"}


@pytest.mark.parametrize("format", ["table", "csv", "timestamps"])
@pytest.mark.parametrize("text", ["\ud800 jab", "\0jab", '"jab', "jab 🥊"])
def test_odd_texts_in_every_format(root: Path, fightnotes: RunCommand, format: str, text: str) -> None:
    result = fightnotes("find", text, "--library", root, "--format", format)
    assert result.exit_code == 0
    assert result.stdout
