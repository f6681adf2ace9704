"""Tags that the note's own words deny."""

from __future__ import annotations

from collections.abc import Iterator

from fightnotes.audit.data import AuditData, typed_labels
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.labels import find_labels, label_finder
from fightnotes.language.negation import says_undone
from fightnotes.language.results import CAME_TO_NOTHING
from fightnotes.model import acts_of


def denied_tag(data: AuditData) -> Iterator[Remark]:
    finder = label_finder(typed_labels(data.vocabulary))
    for note in data.notes:
        if not note.tags or not says_undone(note.text):
            continue
        named = find_labels(note.text, finder)
        for tag, act in zip(note.tags, acts_of(note), strict=False):
            if CAME_TO_NOTHING & set(act.fields.outcome):
                continue
            places = [place for place in named if place.concept == tag.name]
            if places and all(any(span.rules_out for span in place.undone) for place in places):
                around = " ".join(note.text[max(0, places[0].begin - 40) : places[0].stop + 30].split())
                said = f"tagged #{tag.name}, but the note denies it: '{around}'"
                yield Remark((data.place(note, tag),), said, f"#{tag.name}")
