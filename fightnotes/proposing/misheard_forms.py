"""What a speech recogniser made of names, labels and trade words: the mishearings of all talks by their forms."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass

from fightnotes.language.known_words import known_words
from fightnotes.language.labels import Label
from fightnotes.language.mishearings import Mishearing, find_mishearings
from fightnotes.language.words import words_of
from fightnotes.model import FOOTAGE, Bout, Segment, Vocabulary, fold


@dataclass(frozen=True)
class Use:
    """Offsets in a segment's text."""

    segment: int
    begin: int
    stop: int


@dataclass(frozen=True)
class MisheardForm:
    text: str
    """As it was heard, folded."""
    fighter: str | None
    """Whose name it is; None for a label."""
    label: Label | None
    score: float
    """How surely it is meant, 0 to 1: that of the surest use."""
    sure: bool
    """Whether it is applied without asking, in one use at least."""
    reasons: tuple[str, ...]
    uses: tuple[Use, ...]
    same_moment: int
    """Uses at a moment that a note tags with the concept."""


def misheard_forms(
    segments: Mapping[int, Segment], bouts: Mapping[str, Bout], vocabulary: Vocabulary, refused: Set[str] = frozenset()
) -> list[MisheardForm]:
    """Forms in the transcripts that are not listed yet, the surest first.

    One that a note writes, too, is asked about no more than one word that came once and of which no note of the same
    moment speaks, unless they are sure.
    """
    tagged = _tagged_moments(segments, vocabulary)
    known = known_words((), vocabulary)
    found: dict[tuple[str, str | None, Label | None], list[tuple[Mishearing, Use]]] = defaultdict(list)
    for (bout, _), talk in _talks(segments).items():
        words = [word for number in talk for word in _heard(number, segments[number])]
        names = known.with_fighters(bouts[bout].fighters)
        for one in find_mishearings([word for word, _ in words], names, refused):
            if not one.listed:
                use = _use(words[one.first][1], words[one.last][1], segments)
                found[one.heard, one.fighter, one.label].append((one, use))
    forms = [_form(uses, tagged) for uses in found.values()]
    notes = (segment.text for segment in segments.values() if segment.kind == "note")
    written = " | ".join(" ".join(fold(word.text) for word in words_of(text)) for text in notes)
    asked = [form for form in forms if form.sure or _worth_asking(form, f" {written} ")]
    return sorted(asked, key=lambda form: (-form.score, form.text))


def _form(uses: list[tuple[Mishearing, Use]], tagged: Mapping[int, set[str]]) -> MisheardForm:
    surest = max((one for one, _ in uses), key=lambda one: one.score)
    places = tuple(use for _, use in uses)
    concept = surest.label.concept if surest.label else ""
    return MisheardForm(
        text=surest.heard,
        fighter=surest.fighter,
        label=surest.label,
        score=surest.score,
        sure=surest.sure,
        reasons=surest.reasons,
        uses=places,
        same_moment=sum(concept in tagged[use.segment] for use in places),
    )


def _worth_asking(form: MisheardForm, written: str) -> bool:
    said_again = len(form.text.split()) > 1 or len(form.uses) > 1 or form.same_moment > 0
    return said_again and f" {form.text} " not in written


def _talks(segments: Mapping[int, Segment]) -> dict[tuple[str, str], list[int]]:
    """The segments of each transcript of a bout, by bout and file, in the order of the file."""
    found: dict[tuple[str, str], list[int]] = defaultdict(list)
    for number, segment in segments.items():
        if segment.kind == "transcript":
            found[segment.bout, segment.file].append(number)
    return {talk: sorted(numbers, key=lambda number: segments[number].line) for talk, numbers in found.items()}


def _heard(number: int, segment: Segment) -> Iterator[tuple[str, Use]]:
    """The words as the recogniser wrote them, with where they, or what they were put right to, stand in the text."""
    reached = 0
    for repair in segment.repairs:
        yield from _words(number, segment.text, reached, repair.begin)
        for word in repair.heard.split():
            yield word, Use(number, repair.begin, repair.stop)
        reached = repair.stop
    yield from _words(number, segment.text, reached, len(segment.text))


def _words(number: int, text: str, begin: int, stop: int) -> Iterator[tuple[str, Use]]:
    for word in text[begin:stop].split():
        begin = text.index(word, begin)
        if word != ".":  # that of the editor, behind what was put right
            yield word, Use(number, begin, begin + len(word))
        begin += len(word)


def _use(first: Use, last: Use, segments: Mapping[int, Segment]) -> Use:
    """From the first word to the last; to the end of its segment where the last stands in another."""
    stop = last.stop if last.segment == first.segment else len(segments[first.segment].text)
    return Use(first.segment, first.begin, stop)


def _tagged_moments(segments: Mapping[int, Segment], vocabulary: Vocabulary) -> dict[int, set[str]]:
    """Concepts that notes give to the moment of each transcript segment, broader ones among them."""
    notes: dict[str, list[tuple[float, float, Segment]]] = defaultdict(list)
    for segment in segments.values():
        if segment.kind == "note" and segment.tags and (span := _on_footage(segment)):
            notes[segment.bout].append((*span, segment))
    found: dict[int, set[str]] = {}
    for number, segment in segments.items():
        if segment.kind == "transcript":
            span = _on_footage(segment) or (0.0, 0.0)
            found[number] = {
                concept
                for start, end, note in notes[segment.bout]
                if start < span[1] and span[0] < end
                for tag in note.tags
                if tag.concept
                for concept in vocabulary.with_broader(tag.concept)
            }
    return found


def _on_footage(segment: Segment) -> tuple[float, float] | None:
    if segment.timed_on == FOOTAGE and segment.start is not None and segment.end is not None:
        return float(segment.start), float(segment.end)
    if segment.footage_start is not None and segment.footage_end is not None:
        return float(segment.footage_start), float(segment.footage_end)
    return None
