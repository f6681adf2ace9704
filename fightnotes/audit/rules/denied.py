"""Tags that the note's own words deny."""

from __future__ import annotations

import re
from collections.abc import Iterator

from fightnotes.audit.data import AuditData
from fightnotes.audit.phrases import label_words, mentions
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.negation import undone_spans
from fightnotes.language.words import words_of
from fightnotes.model import Concept, Segment, acts_of

_NEVER_CAME = re.compile(
    r"(?:\s+\w+){0,3}?\s+(?:never|not|didn['’]t|doesn['’]t|isn['’]t|wasn['’]t|won['’]t)\s+(?:\w+\s+)?"
    r"(?:come|comes|came|coming|arrives?|arrived|happens?|happened|follows?|followed|thrown|there|appears?|tried|used|shown)\b",
    re.IGNORECASE,
)
"""A denial that stands behind what it denies; the words are our own."""
_UNREAL = re.compile(r"(?:could|should|would|might) have", re.IGNORECASE)
"""What is only expected may still happen; what could have happened did not."""
_NOT_DONE = frozenset({"failed", "missed", "ignored", "blocked"})
"""An outcome that says already that it came to nothing."""


def denied_tag(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        spans = [span for span in undone_spans(note.text) if span.sense == "negated" or _UNREAL.match(span.cue)]
        for tag, act in zip(note.tags, acts_of(note), strict=False):
            concept = data.vocabulary.by_id.get(tag.name)
            if concept is None or _NOT_DONE & set(act.fields.outcome):
                continue
            places = _places(note, concept)
            if places and all(_denied(note.text, place, [(one.begin, one.stop) for one in spans]) for place in places):
                begin, stop = places[0]
                yield Remark(
                    (data.place(note, tag.line, tag.column),),
                    f"tagged #{tag.name}, but the note denies it: '{_around(note.text, begin, stop)}'",
                    f"#{tag.name}",
                )


def _places(note: Segment, concept: Concept) -> list[tuple[int, int]]:
    return [(found.begin, found.stop) for found in mentions(note.text, words_of(note.text), label_words(concept))]


def _denied(text: str, place: tuple[int, int], spans: list[tuple[int, int]]) -> bool:
    begin, stop = place
    return any(low <= begin < high for low, high in spans) or bool(_NEVER_CAME.match(text, stop))


def _around(text: str, begin: int, stop: int) -> str:
    return " ".join(text[max(0, begin - 40) : stop + 30].split())
