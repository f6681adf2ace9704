"""The judged queries are sound: they name real segments, and `disjoint` ones share no word with an answer.

Stems are those of nltk's PorterStemmer (Porter 1980, "An algorithm for suffix stripping"); the function
words below are a list of our own, from common practice, without a source.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import Literal

import pytest
from nltk.stem import PorterStemmer
from pydantic import BaseModel, ConfigDict
from ruamel.yaml import YAML

from fightnotes.model.segment import Segment
from fightnotes.reading.library import read_library

HERE = Path(__file__).parent
DEMO = HERE.parent.parent / "corpus_demo"
WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
CLITIC = re.compile(r"(?:'(?:s|m|d|re|ve|ll)|n't|')$")
FUNCTION_TEXT = """
a an the this that these those and or nor but if than then so as because while although though until
when where which who whom whose what why how i me my mine myself we us our you your he him his
himself she her hers herself it its itself they them their themselves am is are was were be been
being do does did doing done has have had having will wo would shall should can ca could may might
must not no never none in on at by for from of off to up down out over under into onto through
between against about with without within after before during across along around behind beneath
upon toward towards there here very too also just only both each all any some such own same other
another more most rather
"""
FUNCTION_WORDS = frozenset(FUNCTION_TEXT.split())


class JudgedQuery(BaseModel):
    model_config = ConfigDict(extra="forbid")

    id: str
    query: str
    words: str
    part: Literal["tune", "report"]
    relevant: dict[str, int]
    opposed: list[str] = []


def load() -> list[JudgedQuery]:
    rows = YAML(typ="safe").load((HERE / "queries.yaml").read_text(encoding="utf-8"))
    return [JudgedQuery.model_validate(row) for row in rows]


QUERIES = load()
DISJOINT = [query for query in QUERIES if query.words == "disjoint"]


def content_stems(text: str) -> set[str]:
    stemmer = PorterStemmer()
    words = (CLITIC.sub("", word) for word in WORD.findall(text.lower().replace("\u2019", "'")))
    return {stemmer.stem(word) for word in words if word and word not in FUNCTION_WORDS}


@pytest.fixture(scope="module")
def segments() -> list[Segment]:
    return list(read_library(DEMO).segments)


def covering(place: str, segments: list[Segment]) -> Segment | None:
    """The segment that holds a `file:line` place; the innermost, where one is nested in another."""
    file, line = place.rsplit(":", 1)
    found = [s for s in segments if s.file == file and s.line <= int(line) <= s.last_line]
    return max(found, key=lambda segment: segment.line, default=None)


def test_content_stems_drops_function_words_and_clitics() -> None:
    assert content_stems("He doesn't bite; she won't be Brandaal\u2019s bait, and there's baiting") == {
        "bite",
        "brandaal",
        "bait",
    }


def test_ids_and_wordings_are_unique_and_there_are_enough() -> None:
    assert len(QUERIES) >= 40
    for name in ("id", "query"):
        assert [value for value, n in Counter(getattr(q, name) for q in QUERIES).items() if n > 1] == []


def test_at_least_half_are_disjoint() -> None:
    assert {query.words for query in QUERIES} == {"disjoint", "shared"}
    assert len(DISJOINT) * 2 >= len(QUERIES)


@pytest.mark.parametrize("query", QUERIES, ids=lambda q: q.id)
def test_grades_are_one_or_two_and_something_is_exactly_sought(query: JudgedQuery) -> None:
    assert set(query.relevant.values()) <= {1, 2}
    assert 2 in query.relevant.values()


@pytest.mark.parametrize("query", QUERIES, ids=lambda q: q.id)
def test_every_place_is_a_segment(query: JudgedQuery, segments: list[Segment]) -> None:
    places = [*query.relevant, *query.opposed]
    assert [place for place in places if covering(place, segments) is None] == []


@pytest.mark.parametrize("query", QUERIES, ids=lambda q: q.id)
def test_a_note_is_named_by_its_first_line(query: JudgedQuery, segments: list[Segment]) -> None:
    notes = [place for place in [*query.relevant, *query.opposed] if not place.startswith("transcripts/")]
    starts = {f"{segment.file}:{segment.line}" for segment in segments}
    assert [place for place in notes if place not in starts] == []


@pytest.mark.parametrize("query", QUERIES, ids=lambda q: q.id)
def test_no_moment_is_both_relevant_and_opposed(query: JudgedQuery, segments: list[Segment]) -> None:
    relevant = {(s.file, s.line) for p in query.relevant if (s := covering(p, segments))}
    opposed = {(s.file, s.line) for p in query.opposed if (s := covering(p, segments))}
    assert relevant & opposed == set()


@pytest.mark.parametrize("query", DISJOINT, ids=lambda q: q.id)
def test_disjoint_queries_share_no_content_word(query: JudgedQuery, segments: list[Segment]) -> None:
    wanted = content_stems(query.query)
    assert wanted, "a query of function words alone proves nothing"
    shared = {}
    for place in query.relevant:
        segment = covering(place, segments)
        assert segment is not None
        written = " ".join(tag.written.replace("-", " ") for tag in segment.tags)
        if common := wanted & content_stems(f"{segment.text} {written}"):
            shared[place] = sorted(common)
    assert shared == {}
