"""Runs of heard words held against every name and label: how near they are in sound and letters."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from rapidfuzz import fuzz, process

from fightnotes.language import spoken
from fightnotes.language.known_words import Form, KnownWords, Words, letters_of, sounds_of_words
from fightnotes.language.labels import find_labels
from fightnotes.language.sounds import VOWELS, alike_pairs
from fightnotes.language.words import is_content, stem, stems_of

NEAR_NAME = 0.6
NEAR_LABEL = 0.7
"""What is less near is no candidate."""
_SOUND = 0.8
"""What the sound counts; the letters count the rest."""
_OUTLINE = {"name": 66, "label": 76}
"""How like the outlines have to be, in per cent, for the sounds to be compared."""
_AT_ONCE = 512
"""Runs, so that no table of all runs and all labels is held."""
_CLASSES = str.maketrans(
    {**dict.fromkeys(VOWELS, "a"), **dict.fromkeys("wyh", ""), **dict.fromkeys("bp", "p"), **dict.fromkeys("fv", "f"),
     **dict.fromkeys("Ttd", "t"), **dict.fromkeys("kg", "k"), **dict.fromkeys("sSzZCJ", "s"),
     **dict.fromkeys("mnN", "n")}
)  # fmt: skip
_VOWELS = re.compile("a+")


@dataclass(frozen=True)
class NearForm:
    """A name or label that a run may stand for."""

    words: Words
    form: Form
    near: float
    """Of sound and letters, 0 to 1."""
    ending: str = ""
    """An `s` behind the run's last word that is none of the form's."""


def near_forms(runs: Iterable[Words], known: KnownWords) -> list[NearForm]:
    """The nearest name and the nearest label of each run, where they are near enough; time goes with runs x forms."""
    readings = [reading for words in dict.fromkeys(runs) for reading in _readings(words)]
    best: dict[tuple[Words, bool], NearForm] = {}
    for start in range(0, len(readings), _AT_ONCE):
        batch = readings[start : start + _AT_ONCE]
        names = _near(batch, known.name_forms, "name", NEAR_NAME, known)
        labels = _near(batch, known.label_forms, "label", NEAR_LABEL, known)
        for found in chain(names, labels):
            key = found.words, found.form.label is None
            if key not in best or found.near > best[key].near + 0.02 * bool(found.ending):
                best[key] = found
    return [found for found in best.values() if not _held_nearer(found, best)]


def _held_nearer(found: NearForm, best: Mapping[tuple[Words, bool], NearForm]) -> bool:
    """Whether fewer of the words are nearer to the same: "a brandle" is no name that "brandle" is not."""
    length = len(found.words)
    inside = (found.words[start:stop] for start in range(length) for stop in range(start + 1, length + 1))
    others = (best.get((words, found.form.label is None)) for words in inside)
    return any(other and other.form == found.form and other.near > found.near for other in others)


def _readings(words: Words) -> Iterator[tuple[Words, Words, str]]:
    """The run, and it without an `s` that may be a possessive or a plural."""
    yield words, words, ""
    if re.search("[^s']s$", words[-1]) and len(words[-1]) > 3:
        yield words, (*words[:-1], words[-1][:-1]), "s"


def _near(
    readings: Sequence[tuple[Words, Words, str]], forms: Sequence[Form], kind: str, least: float, known: KnownWords
) -> Iterator[NearForm]:
    if not forms:
        return
    sounds = [sounds_of_words(said) for _, said, _ in readings]
    outlines = [_outline(each) for each in sounds]
    table = process.cdist(
        outlines,
        [_outline(form.sounds) for form in forms],
        scorer=fuzz.ratio,
        score_cutoff=_OUTLINE[kind],
        dtype=np.uint8,
    )
    rows, columns = (places.tolist() for places in np.nonzero(table))
    likeness = alike_pairs([sounds[row] for row in rows], [forms[column].sounds for column in columns])
    for row, column, sound in zip(rows, columns, likeness, strict=True):
        if _SOUND * sound + 1 - _SOUND < least:
            continue
        words, said, ending = readings[row]
        form = forms[column]
        near = _SOUND * float(sound) + (1 - _SOUND) * fuzz.ratio(letters_of(said), form.letters) / 100
        if near >= least and not (form.label and same_words(said, form, known)):
            yield NearForm(words, form, near, ending)


def same_words(said: Words, form: Form, known: KnownWords) -> bool:
    """Words of the label with other function words at most, or another label, or the whole with words beside it."""
    heard, wanted = [stem(word) for word in said], [stem(word) for word in form.words]
    unlike = [word for word in said if compared_stems(word).isdisjoint(wanted)]
    lacking = [word for word, each in zip(form.words, wanted, strict=True) if each not in heard and is_content(word)]
    if not unlike or not (lacking or any(map(is_content, unlike))):
        return True
    whole, letters = "".join(wanted), "".join(heard)
    if whole != letters and (letters.startswith(whole) or letters.endswith(whole)):
        return True
    inside = find_labels(" ".join(said), known.labels)
    return any(not set(stems_of(one.label.text)) < set(wanted) for one in inside)


def compared_stems(word: str) -> set[str]:
    """Its stem, and that of the word of which it is the comparative or the adverb."""
    return {stem(word), *(stem(word.removesuffix(ending)) for ending in spoken.DEGREES if word.endswith(ending))}


def _outline(sounds: str) -> str:
    """Its sounds by coarse classes, with one vowel for several."""
    return _VOWELS.sub("a", sounds.translate(_CLASSES))
