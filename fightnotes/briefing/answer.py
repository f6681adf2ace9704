"""The main job of `answer`: a question of an audience, answered with the notes and with what is counted of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from fightnotes.briefing.asked_of import Matter, Missing, matter_of
from fightnotes.briefing.cited import MOST_CITED, Cited, Numbering, Statement, moment_as_json
from fightnotes.briefing.counting_claims import ClaimSaid, goes, how_often, nothing_noted, when, who_more, works
from fightnotes.briefing.numbers import begun
from fightnotes.briefing.question import QuestionAsked, read_question
from fightnotes.briefing.sequence_claims import comes_before, costs, follows
from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.language.questions import Claim
from fightnotes.search.filters import Filters
from fightnotes.search.find import find
from fightnotes.search.hit import Hit
from fightnotes.search.people import fighter_names
from fightnotes.search.query import query_labels

MOST_HITS = 5
"""Moments shown for a question that cannot be answered."""
CAN_ANSWER = (
    "what can be answered, of a technique of the vocabulary: how often; more and more or less and less; does it work; "
    "what does it cost; who does it more; what follows it or comes before; when"
)

AnswerKind = Literal["yes", "no", "open", "told", "missing", "unread"]
"""Missing: something has to be said first. Unread: the question asks none of what can be answered."""


@dataclass(frozen=True)
class Answer:
    question: QuestionAsked
    kind: AnswerKind
    says: str
    """The answer in a line; what is missing; what can be answered."""
    sentences: tuple[Statement, ...] = ()
    hits: tuple[Hit, ...] = ()
    """Of a question that is not answered, what `find` gives."""
    notices: tuple[str, ...] = ()
    """How the question was read, and what a reader of the numbers has to know."""

    def numbered(self, most: int | None = None) -> tuple[tuple[tuple[Statement, Cited], ...], tuple[Hit, ...]]:
        """Each sentence with the numbers of its moments, of so many at most, and these moments, from 1 on."""
        numbering = Numbering(most)
        sentences = tuple((sentence, numbering.name(sentence.moments)) for sentence in self.sentences)
        return sentences, (*numbering.moments, *self.hits)

    def in_lines(self) -> tuple[tuple[str, ...], tuple[Hit, ...]]:
        """The same of `MOST_CITED` moments with a line for each sentence."""
        sentences, moments = self.numbered(MOST_CITED)
        return tuple(f"{sentence.text} {cited}" for sentence, cited in sentences), moments

    def as_json(self) -> dict[str, Any]:
        """Plain values."""
        return {
            "question": self.question.text,
            "read": self.question.as_json(),
            "answer": self.kind,
            "says": self.says,
            "sentences": [sentence.as_json() for sentence in self.sentences],
            "hits": [moment_as_json(hit) for hit in self.hits],
            "notices": list(self.notices),
        }


def answer(
    store: Store,
    text: str,
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    inferred: bool = False,
) -> Answer:
    """Any text is a question. Raises UnknownName as `find` does; UsageError where a filter and the question name
    different things, where an outcome is asked for, and where nothing is asked."""
    text = text.encode("utf-8", "replace").decode()
    if not text.strip():
        raise UsageError("ask something, such as: does the jab work?")
    if filters.outcome:
        raise UsageError("an answer weighs every outcome: leave the outcome out")
    question = read_question(text, fighter_names(store), query_labels(store.vocabulary), store.bouts)
    if question.asked.claim == "none":
        return _unanswered(question, "unread", f"The question is not understood; {CAN_ANSWER}.", store, filters)
    matter = matter_of(question, store, filters, inferred=inferred)
    if isinstance(matter, Missing):
        return _unanswered(question, "missing", begun(matter.says), store, filters)
    said = _SAID[question.asked.claim](matter) if matter.acts else nothing_noted(matter)
    notices = (
        _read_as(matter),
        *matter.how_read,
        *_read_of_rounds(matter),
        *said.notices,
        *matter.basis.notices(matter.basis.acts),
    )
    return Answer(question, said.verdict, said.says, said.sentences, notices=notices)


def _goes(matter: Matter) -> ClaimSaid:
    return costs(matter) if matter.question.asked.of == "cost" else goes(matter)


_SAID: dict[Claim, Callable[[Matter], ClaimSaid]] = {
    "how often": how_often,
    "more and more": _goes,
    "less and less": _goes,
    "any trend": _goes,
    "does it work": works,
    "does it cost": costs,
    "who does it more": who_more,
    "what follows": follows,
    "what comes before": comes_before,
    "when": when,
}


def _read_as(matter: Matter) -> str:
    asked = matter.question.asked
    of = "" if asked.of == "how often" else f" of {asked.of}"
    return f"read as: {asked.claim}{of}; {matter.what}"


def _read_of_rounds(matter: Matter) -> tuple[str, ...]:
    rounds = matter.filters.rounds
    return (f"of rounds {rounds[0]} to {rounds[1]} alone",) if rounds else ()


def _unanswered(question: QuestionAsked, kind: AnswerKind, says: str, store: Store, filters: Filters) -> Answer:
    found = find(store, question.text, filters, limit=MOST_HITS)
    return Answer(question, kind, says, hits=found.hits, notices=found.notices)
