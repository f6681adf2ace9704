"""What a speech recogniser made of a label: words of a transcript near to one in spelling and in sound.

Spelling is compared by the normalised indel similarity (rapidfuzz's ratio) of the letters without blanks, sound
by the same measure on the Metaphone key (L. Philips, Hanging on the Metaphone, Computer Language 7 (12), 1990).
A word that stands in no note and no label, or a note of the same moment that is tagged with the concept, makes a
mishearing likelier. The limits are set by hand on the demo.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

import jellyfish
import numpy as np
from rapidfuzz import fuzz, process

from fightnotes.language.labels import Label, Stems, find_labels, label_stems, labels_of, trade_words
from fightnotes.language.words import is_content, stems_of, words_of
from fightnotes.model import FOOTAGE, Segment, Vocabulary, fold
from fightnotes.proposing.known_forms import KnownForms, crosses

NEAR = 0.92
"""How near a form of known words has to be."""
NEAR_UNKNOWN = 0.84
"""The same where one of its words stands nowhere else."""
SAME_MOMENT = 0.05
"""How much lower both lie where a note of the same moment has the concept's tag."""
_FEWEST_LETTERS = 4
_MORE_WORDS = 2
"""By how many words a mishearing may be longer than the longest label."""
_AT_ONCE = 400
"""Transcript segments, so that few windows are held at a time."""

Forms = tuple[str, ...]


@dataclass(frozen=True)
class Use:
    """Offsets in a segment's text."""

    segment: int
    begin: int
    stop: int


@dataclass(frozen=True)
class MisheardForm:
    text: str
    label: Label
    near: float
    """Mean of the similarities of spelling and of sound, 0 to 1."""
    uses: tuple[Use, ...]
    same_moment: int
    """Uses at a moment that a note tags with the concept."""


def misheard_forms(
    segments: Mapping[int, Segment], texts: Mapping[int, str], vocabulary: Vocabulary, known: KnownForms
) -> list[MisheardForm]:
    """Forms in the transcripts that are no label yet, the nearest first; no word belongs to two of them.

    `texts` are those of the segments as `without_names` makes them.
    """
    meant = (one for one in (*labels_of(vocabulary), *trade_words(vocabulary)) if one.role not in ("id", "hidden"))
    labels = [label for label in meant if len(_letters(label.text)) >= _FEWEST_LETTERS and _sound(label.text)]
    written = {fold(word.text) for each in segments.values() if each.kind == "note" for word in words_of(each.text)}
    written.update(word for label in labels for word in fold(label.text).split())
    uses: dict[Forms, list[Use]] = defaultdict(list)
    pairs: dict[tuple[Forms, Label], float] = {}
    spoken = [number for number, segment in segments.items() if segment.kind == "transcript"]
    for start in range(0, len(spoken) if labels else 0, _AT_ONCE):
        windows = _windows({number: texts[number] for number in spoken[start : start + _AT_ONCE]}, known)
        near = {(words, label): how for words, label, how in _near(list(windows), labels, known)}
        pairs.update(near)
        for words in {words for words, _ in near}:
            uses[words] += windows[words]
    tagged = _tagged_moments(segments, vocabulary)
    found = [
        MisheardForm(" ".join(words), label, near, tuple(uses[words]), moments)
        for (words, label), near in pairs.items()
        if _likely(words, near, len(uses[words]), written, moments := _count(tagged, uses[words], label))
    ]
    notes = " | ".join(
        " ".join(fold(word.text) for word in words_of(each.text)) for each in segments.values() if each.kind == "note"
    )
    return list(_apart(form for form in found if f" {form.text} " not in f" {notes} "))


def _windows(texts: Mapping[int, str], known: KnownForms) -> dict[Forms, list[Use]]:
    found: dict[Forms, list[Use]] = defaultdict(list)
    for number, text in texts.items():
        covered = find_labels(text, known.labels)
        words = words_of(text)
        folded = [fold(word.text) for word in words]
        for first, word in enumerate(words):
            for last in range(first, min(first + known.longest + _MORE_WORDS, len(words))):
                if "|" in text[word.begin : words[last].stop]:
                    break
                if any(crosses(place, word.begin, words[last].stop) for place in covered):
                    continue
                found[tuple(folded[first : last + 1])].append(Use(number, word.begin, words[last].stop))
    return {words: uses for words, uses in found.items() if len(_joined(words)) >= _FEWEST_LETTERS}


def _near(windows: list[Forms], labels: list[Label], known: KnownForms) -> Iterator[tuple[Forms, Label, float]]:
    """Pairs that may be near enough, those that are the label in other words left out."""
    least = 200 * (NEAR_UNKNOWN - SAME_MOMENT)
    letters, sounds = [_letters(label.text) for label in labels], [_sound(label.text) for label in labels]
    whole = [_joined(words) for words in windows]
    spelled = process.cdist(whole, letters, scorer=fuzz.ratio)
    as_one = process.cdist([jellyfish.metaphone(each) for each in whole], sounds, scorer=fuzz.ratio)
    by_word = process.cdist(["".join(map(_word_sound, words)) for words in windows], sounds, scorer=fuzz.ratio)
    total = spelled + np.maximum(as_one, by_word)
    for row, column in zip(*np.nonzero(total >= least), strict=True):
        if not _same_words(" ".join(windows[row]), labels[column].text, known):
            yield windows[row], labels[column], float(total[row, column]) / 200


def _same_words(words: str, wanted: str, known: KnownForms) -> bool:
    """Words of the label with other function words at most, or a label with a word beside it."""
    form, label = stems_of(words), stems_of(wanted)
    unlike = [word for word in form if word not in label]
    lacking = [word for word in label if word not in form and is_content(word)]
    if not unlike or not (lacking or any(is_content(word) for word in unlike)):
        return True
    if "".join(form) != "".join(label) and "".join(form).startswith("".join(label)):
        return True
    inside = find_labels(words, known.labels)
    return any(not _part_of(label_stems(one.label.text), label_stems(wanted)) for one in inside)


def _part_of(part: Stems, whole: Stems) -> bool:
    """A run of the words of `whole`, fewer than all of them."""
    return len(part) < len(whole) and any(
        whole[first : first + len(part)] == part for first in range(len(whole) - len(part) + 1)
    )


def _likely(words: Forms, near: float, times: int, written: set[str], moments: int) -> bool:
    unknown = any(word not in written for word in words)
    if len(words) == 1 and not (unknown and (times > 1 or moments)):
        return False
    return near >= (NEAR_UNKNOWN if unknown else NEAR) - (SAME_MOMENT if moments else 0)


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


def _count(tagged: Mapping[int, set[str]], uses: list[Use], label: Label) -> int:
    return sum(label.concept in tagged[use.segment] for use in uses)


def _apart(forms: Iterator[MisheardForm]) -> Iterator[MisheardForm]:
    taken: dict[int, list[Use]] = defaultdict(list)
    for form in sorted(forms, key=lambda each: (-each.near, -len(each.text), each.text, each.label.text)):
        free = tuple(
            use
            for use in form.uses
            if not any(other.begin < use.stop and use.begin < other.stop for other in taken[use.segment])
        )
        for use in free:
            taken[use.segment].append(use)
        if free:
            yield MisheardForm(form.text, form.label, form.near, free, min(form.same_moment, len(free)))


def _joined(words: Forms) -> str:
    """The letters of folded words, without blanks and apostrophes."""
    return "".join(char for word in words for char in word if char.isalnum())


def _letters(text: str) -> str:
    return "".join(char for char in fold(text) if char.isalnum())


def _sound(text: str) -> str:
    return jellyfish.metaphone(_letters(text))


_word_sound = lru_cache(maxsize=65536)(jellyfish.metaphone)
