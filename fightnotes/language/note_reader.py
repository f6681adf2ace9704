"""Notes of a library, read for who does what in them."""

from __future__ import annotations

from collections.abc import Mapping

from fightnotes.language.attribution import SaidAct, acts_said
from fightnotes.language.labels import LabelFinder, label_finder, labels_of
from fightnotes.language.people import People, people_of
from fightnotes.model import Bout, Segment, Vocabulary


class NoteReader:
    """The fighters of a bout are made ready once for each way in which they stand."""

    def __init__(self, bouts: Mapping[str, Bout], vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.labels: LabelFinder = label_finder(label for label in labels_of(vocabulary) if label.role != "hidden")
        self._bouts = bouts
        self._people: dict[tuple[str, tuple[tuple[str, str], ...]], People] = {}

    def people(self, segment: Segment) -> People:
        key = segment.bout, tuple(sorted(segment.stances.items()))
        if key not in self._people:
            self._people[key] = people_of(self._bouts[segment.bout], stances=segment.stances)
        return self._people[key]

    def acts(self, segment: Segment) -> tuple[SaidAct, ...]:
        return acts_said(segment.text, self.people(segment), self.labels)
