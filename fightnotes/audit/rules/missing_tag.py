"""Notes that name a technique, or say what this library tags with it, and lack its tag.

Two kinds of evidence. A label stands in the note and is not denied; one of a single content word counts where
the tagged notes that say it mostly carry the tag, or right behind the name of the one who acts. Or two words of
the note, one of which is a label's, have gone with one tag in nearly every other tagged note.
Numbers are set by hand on the demo.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Set
from itertools import combinations

from fightnotes.audit.data import AuditData, concepts_of, typed_labels
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.labels import Label
from fightnotes.language.names import find_names, name_index
from fightnotes.language.negation import undone_spans
from fightnotes.language.words import content_stems, is_content, words_of
from fightnotes.model import Bout, Concept, Segment, acts_of

_SUPPORT = 12
"""Tagged notes that must say the two words."""
_SHARE = 0.97
"""Of those, how many must carry the tag."""
_MOST_WORDS = 40
_WORD_SUPPORT = 3
_WORD_SHARE = 0.75
"""Of the tagged notes that say a label of one word, how many must carry its tag or one near it."""
_Pair = tuple[str, str]


def missing_tag(data: AuditData) -> Iterator[Remark]:
    habits = _Habits(data)
    telling = _labels(data)
    for note in data.notes:
        if not note.timed or not note.text:
            continue
        own = concepts_of(note)
        told: set[str] = set()
        for concept, label in _named(data, note, *telling):
            if not _near(data, concept.id) & {*own, *told}:
                told.add(concept.id)
                yield Remark((data.place(note),), f"says '{label}' and is not tagged #{concept.id}", concept.id)
        for name, pair, often, of in habits.broken_by(note):
            if not _near(data, name) & {*own, *told}:
                told.add(name)
                words = " and ".join(f"'{_as_said(note, stem)}'" for stem in pair)
                said = f"#{name} is on {often} of {of} other tagged notes that say {words}, and not on this one"
                yield Remark((data.place(note),), said, name)


def _near(data: AuditData, name: str) -> frozenset[str]:
    """What may stand for a concept: its family, and those with its words in theirs, as slip counter has slip."""
    words = set(content_stems(data.vocabulary.by_id[name].label))
    longer = {one.id for one in data.vocabulary.concepts if words <= set(content_stems(one.label))}
    return data.family(name) | longer


def _as_said(note: Segment, stem: str) -> str:
    return next(word.text for word in words_of(note.text) if word.stem == stem)


def _named(data: AuditData, note: Segment, telling: Set[Label], others: Set[Label]) -> Iterator[tuple[Concept, str]]:
    actor = _behind_the_actor(data, note)
    for one in data.named[note.file, note.line]:
        behind_actor = one.label in others and actor and actor.search(note.text[: one.begin])
        if (one.label in telling or behind_actor) and not one.undone:
            yield data.vocabulary.by_id[one.concept], one.written


def _behind_the_actor(data: AuditData, note: Segment) -> re.Pattern[str] | None:
    """Matches a text that ends with a name of the one fighter who acts, or an initial of it."""
    actors = {fighter for act in acts_of(note) for fighter in act.fields.by}
    fighter = next((one for one in data.bouts[note.bout].fighters if actors == {one.id}), None)
    if fighter is None:
        return None
    forms = {fighter.name, *fighter.name.split(), *fighter.also}
    names = "|".join(re.escape(form) for form in sorted(forms, key=len, reverse=True))
    initials = "".join(re.escape(form[0]) for form in sorted(forms) if form)
    return re.compile(rf"(?:\b(?:{names})(?:['’]s)?|\b[{initials}]\.)\s+$")


def _labels(data: AuditData) -> tuple[Set[Label], Set[Label]]:
    """The labels that tell of their concepts, and those of one word that do so behind a name alone.

    Headings of the vocabulary are left out: their words are too common.
    """
    headings = {concept.id for concept in data.vocabulary.concepts if _is_heading(data, concept.id)}
    labels = {label for label in typed_labels(data.vocabulary) if label.concept not in headings}
    single = {label for label in labels if len(content_stems(label.text)) == 1}
    said: Counter[Label] = Counter()
    carried: Counter[Label] = Counter()
    for note in data.notes:
        own = set(concepts_of(note))
        for label in {one.label for one in data.named[note.file, note.line]} & single if own else ():
            said[label] += 1
            carried[label] += bool(_near(data, label.concept) & own)
    weak = {label for label in single if said[label] < _WORD_SUPPORT or carried[label] < _WORD_SHARE * said[label]}
    return labels - weak, weak


def _is_heading(data: AuditData, name: str) -> bool:
    """Whether a concept is there for those below it: they are tagged oftener than it is."""
    below = [one for one in data.vocabulary.with_narrower(name) if one != name]
    uses = {one: len(data.tagged_with.get(one, ())) for one in (name, *below)}
    return bool(below) and uses[name] <= sum(uses[one] for one in below)


class _Habits:
    """Which pairs of words go with which tags."""

    def __init__(self, data: AuditData) -> None:
        timed = [note for note in data.notes if note.timed]
        self._words = {(note.file, note.line): _said_stems(note, data.bouts[note.bout]) for note in timed}
        concepts = data.vocabulary.concepts
        self._labels = {one.id: set(content_stems(" ".join((one.label, *one.also)))) for one in concepts}
        self._said: Counter[_Pair] = Counter()
        self._tagged: dict[_Pair, Counter[str]] = defaultdict(Counter)
        for note in (note for note in timed if note.tags):
            for pair in self._pairs(note):
                self._said[pair] += 1
                self._tagged[pair].update(concepts_of(note))

    def _pairs(self, note: Segment) -> Iterator[_Pair]:
        words = sorted(self._words[note.file, note.line])
        return combinations(words, 2) if len(words) <= _MOST_WORDS else iter(())

    def broken_by(self, note: Segment) -> Iterator[tuple[str, _Pair, int, int]]:
        """Concept, words, and how many of how many other notes, where a note goes against a habit."""
        own = concepts_of(note)
        for pair in self._pairs(note):
            of = self._said[pair] - bool(note.tags)
            if of < _SUPPORT:
                continue
            for name, often in self._tagged[pair].items():
                if name not in own and often >= _SHARE * of and self._labels.get(name, set()) & set(pair):
                    yield name, pair, often, of


def _said_stems(note: Segment, bout: Bout) -> frozenset[str]:
    """Stems of the content words that a note asserts, the fighters' names left out."""
    hidden = [(span.begin, span.stop) for span in undone_spans(note.text)]
    hidden += [(place.begin, place.stop) for place in find_names(note.text, name_index(bout.fighters, misheard=True))]
    return frozenset(
        word.stem
        for word in words_of(note.text)
        if is_content(word.text) and not any(begin <= word.begin < stop for begin, stop in hidden)
    )
