"""How words sound, from their spelling alone: English letters to sounds, and a distance of sounds.

A recogniser writes what it heard in words that it knows, so that what was said and what it wrote are spelt in two ways
and sound alike. The table of letters is `in_notes.LETTERS`, the costs are below; both are rough, from memory (common
practice, no source), made to bring together what sounds alike and not to speak.

The distance is the least cost of an alignment (R. Wagner and M. Fischer, The string-to-string correction problem,
Journal of the ACM 21 (1), 1974), where sounds that are taken for each other cost little.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from anyascii import anyascii

from fightnotes.language import in_notes

VOWELS = frozenset("aeiouEIW@")
_RULES = {letter: tuple((re.compile(p), s) for p, s in rules) for letter, rules in in_notes.LETTERS.items()}
_NOT_LETTERS = re.compile("[^a-z]")
_LOSSES = (
    dict.fromkeys("hwy", 0.3) | dict.fromkeys(VOWELS, 0.35) | {"@": 0.25, "r": 0.25, "s": 0.7, "n": 0.65, "N": 0.4}
)
"""What it costs that a sound was not heard, or one more was."""
_LOSS = 0.8
_CONFUSED = {
    0.15: "pb td kg fv sz SZ CJ",
    0.25: "Tf Tt Ts ZJ SC zZ sS nN mn Td vT wu wo yi yI zJ zS",
    0.45: "lw lr wv vb Ck gJ yJ tC dJ TS Ng Nk sC SJ Cz kh nl dv",
    0.6: "tk pk pt bd dg bg tp fs kC dr tr fp vp mb",
}
"""What it costs that two sounds are taken for each other, by pairs; the number is the part of one that is unlike."""
_PAIRS = {pair: cost for cost, pairs in _CONFUSED.items() for word in pairs.split() for pair in (word, word[::-1])}
_VOWEL = 0.2
_UNLIKE = 1.0
_MIXED = 0.8
"""A vowel for a consonant."""
_AT_ONCE = 8192


@lru_cache(maxsize=65536)
def sounds_of(word: str) -> str:
    """One character a sound, those of `in_notes.LETTERS`; empty for a word without letters."""
    letters = _NOT_LETTERS.sub("", anyascii(word.casefold().translate(in_notes.SPELT)).casefold())
    letters = in_notes.DOUBLED.sub(r"\1", letters)
    sounds, place = "", 0
    while place < len(letters):
        for pattern, said in _RULES[letters[place]]:
            if found := pattern.match(letters, place):
                sounds += said
                place = found.end()
                break
    return sounds


def alike(one: str, other: str) -> float:
    """How alike two runs of sounds are: 1 for the same, 0 where nothing of one is in the other."""
    return float(alike_pairs([one], [other])[0])


def alike_pairs(ones: Sequence[str], others: Sequence[str]) -> npt.NDArray[np.float32]:
    """The same for the pairs of two lists of one length, all at once; time goes with the pairs."""
    found = np.zeros(len(ones), np.float32)
    for start in range(0, len(ones), _AT_ONCE):
        batch = slice(start, start + _AT_ONCE)
        found[batch] = _alike_pairs(_codes(ones[batch]), _codes(others[batch]))
    return found


def _alike_pairs(ones: npt.NDArray[np.intp], others: npt.NDArray[np.intp]) -> npt.NDArray[np.float32]:
    lost, gained = _LOSS_OF[ones], _LOSS_OF[others]
    row = [np.zeros(ones.shape[1], np.float32), *np.cumsum(gained, axis=0)]
    for sound, cost in zip(ones, lost, strict=True):
        before, row = row, [row[0] + cost]
        for place, against in enumerate(others):
            taken = before[place] + _COST_OF[sound, against]
            row.append(np.minimum(np.minimum(before[place + 1] + cost, row[-1] + gained[place]), taken))
    most = np.maximum(lost.sum(axis=0), gained.sum(axis=0))
    likeness: npt.NDArray[np.float32] = np.maximum(0, 1 - row[-1] / np.where(most > 0, most, 1)) * (most > 0)
    return likeness


def _codes(texts: Sequence[str]) -> npt.NDArray[np.intp]:
    """A row a place, a column a text; what is behind a text's end costs nothing to lose, and is like nothing."""
    longest = max(map(len, texts), default=0)
    joined = "".join(text.ljust(longest, _END) for text in texts)
    codes = np.array([_CODE[sound] for sound in joined], np.intp)
    return codes.reshape(len(texts), longest).T


def _cost(one: str, other: str) -> float:
    if _END in (one, other):
        return np.inf
    if one == other:
        return 0.0
    if (one + other) in _PAIRS:
        return _PAIRS[one + other]
    if one in VOWELS and other in VOWELS:
        return _VOWEL
    return _UNLIKE if (one in VOWELS) == (other in VOWELS) else _MIXED


_END = "."
_SOUNDS = "".join(sorted({sound for rules in _RULES.values() for _, said in rules for sound in said})) + _END
_CODE = {sound: number for number, sound in enumerate(_SOUNDS)}
_LOSS_OF = np.array([0.0 if sound == _END else _LOSSES.get(sound, _LOSS) for sound in _SOUNDS], np.float32)
_COST_OF = np.array([[_cost(one, other) for other in _SOUNDS] for one in _SOUNDS], np.float32)
