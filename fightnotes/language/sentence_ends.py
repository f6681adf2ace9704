"""Where the sentences of running speech end.

Captions of speech mostly come without marks, or with marks that a recogniser guessed. Each gap between two words has a
score, the sum of what speaks for an end there: a pause, a full stop, the words before and behind. The scores are a
logistic regression (`talk_weights` says what it was fitted on) over our own word lists, from left to right, as a
sentence that has no verb yet does not end.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from fightnotes.language import spoken
from fightnotes.language.talk import SpokenWord
from fightnotes.language.talk_weights import SENTENCE_WEIGHTS
from fightnotes.model import fold

_END_MARK = re.compile(r"(?:[.!?…。]+)[\"'”’)\]]*$")
_PAUSE_MARK = re.compile(r"[,;:–—][\"'”’)\]]*$")
_EDGE = re.compile(r"^[^\w]+|[^\w]+$")
MARKED = 1 / 40
"""Share of words with a mark from which on a talk has its sentence ends written, and few are looked for beside them."""
_BESIDE_MARKS = -3.0
"""Added to a gap without a mark in such a talk (by hand)."""
LONGEST = 60
"""Words of a sentence, from which on it ends at the next word that may be a last one (by hand)."""


def bare(word: str) -> str:
    """A word as the lists have it: folded, with a straight apostrophe, without marks."""
    return _bare(word)


@lru_cache(maxsize=65536)
def _bare(word: str) -> str:
    return _EDGE.sub("", fold(word).replace("’", "'"))


@dataclass(frozen=True)
class Told:
    """The words of a talk in their bare form, with what of them the scores ask for."""

    words: tuple[str, ...]
    named: tuple[bool, ...]
    """Whether a word is written with a capital, and is no `I`."""
    verbs: tuple[bool, ...]


def told_of(words: Sequence[SpokenWord]) -> Told:
    said = tuple(bare(word.text.split()[-1]) for word in words)
    named = tuple(
        word.text[:1].isupper() and not each.startswith(("i'", "i ")) and each != "i"
        for word, each in zip(words, said, strict=True)
    )
    return Told(said, named, tuple(_is_verb(said, named, number) for number in range(len(said))))


def _is_verb(words: Sequence[str], named: Sequence[bool], number: int) -> bool:
    """Whether a word is probably the verb of a clause."""
    word = words[number]
    if word in spoken.FINITE or spoken.CLAUSE_IN_A_WORD.match(word):
        return True
    before = words[number - 1] if number else ""
    after_subject = before in spoken.ACTING_PRONOUNS or before in _THIRD or (number > 0 and named[number - 1])
    return after_subject and word.endswith(spoken.INFLECTIONS[:2])


_THIRD = frozenset(("it", "that", "this", "who", "which", "nobody", "everybody"))
_VERB_WITHIN = 4
"""Words that a subject may have before its verb."""


@dataclass
class Running:
    """What stands of a sentence so far."""

    words: int = 0
    verbs: int = 0
    subordinate: bool = False
    opened: bool = False
    """Whether a word stood that is no filler and no opener."""

    def take(self, word: str, verb: bool) -> None:
        """`word` in its bare form."""
        self.words += 1
        self.verbs += verb
        if not self.opened and word not in _BEFORE_A_SENTENCE:
            self.opened = True
            self.subordinate = word in spoken.SUBORDINATORS


_BEFORE_A_SENTENCE = spoken.FILLERS | spoken.SPEECH_OPENERS | spoken.SPEECH_JOINERS


def features_of(words: Sequence[SpokenWord], told: Told, gap: int, running: Running) -> dict[str, float]:
    """What speaks for and against an end between `words[gap]` and the next; only what is not 0."""
    last, first = told.words[gap], told.words[gap + 1]
    second = told.words[gap + 2] if gap + 2 < len(words) else ""
    joined = first in spoken.SPEECH_JOINERS or first == "so"
    clause = _clause_begins(told, gap + 1)
    found = {
        "always": 1.0,
        "pause": _silence(words, gap),
        "mark": ends_by_mark(words[gap].text),
        "comma": bool(_PAUSE_MARK.search(words[gap].text)),
        "unfinished": last in spoken.UNFINISHED,
        "ending": last in spoken.ENDING,
        "takes a clause": last in spoken.TAKES_CLAUSE,
        "goes on": first in spoken.GOING_ON,
        "opener": first in spoken.SPEECH_OPENERS,
        "joiner": first in spoken.SPEECH_JOINERS,
        "joiner and name": joined and gap + 2 < len(words) and told.named[gap + 2],
        "joiner and pronoun": joined and (second in spoken.ACTING_PRONOUNS or second in spoken.SHORT_CLAUSES),
        "joiner and other": joined and (second in spoken.DETERMINERS or second in spoken.POINTING_WORDS),
        "joiner and then": joined and second == "then",
        "short clause": first in spoken.SHORT_CLAUSES,
        "acting pronoun": first in spoken.ACTING_PRONOUNS,
        "pointing word": first in spoken.POINTING_WORDS,
        "no one": first in spoken.NO_ONE,
        "bidding": first in spoken.BIDDING,
        "filler": first in spoken.FILLERS,
        "article": first in spoken.DETERMINERS,
        "name": told.named[gap + 1],
        "comment": first in ("i", "you", "we") and second in spoken.COMMENTING and _silence(words, gap + 2) > 1,
        "no verb yet": running.verbs == 0,
        "verb behind": clause,
        "clause behind a clause": clause and running.verbs > 0 and last not in spoken.TAKES_CLAUSE,
        "half of two clauses": running.subordinate and running.verbs < 2,
        "short": max(0.0, 1 - running.words / 5),
        "long": math.log(max(1.0, running.words / 8)),
    }
    return {name: float(value) for name, value in found.items() if value}


def _silence(words: Sequence[SpokenWord], gap: int) -> float:
    """How long nothing is said behind a word, as the logarithm of tenths of a second; 3 s are as good as a minute."""
    if gap + 1 >= len(words):
        return 0.0
    return math.log1p(10 * min(3.0, max(0.0, float(words[gap + 1].start - words[gap].end))))


def _clause_begins(told: Told, first: int) -> bool:
    """Whether a word may open a clause: a verb follows soon, and nothing before it that opens another."""
    if told.words[first] in spoken.SHORT_CLAUSES:
        return True
    if told.verbs[first] or told.words[first] in spoken.GOING_ON or told.words[first] in spoken.UNFINISHED - _MAY_OPEN:
        return False
    for place in range(first + 1, min(first + 1 + _VERB_WITHIN, len(told.words))):
        if told.verbs[place]:
            return told.words[place] not in spoken.SHORT_CLAUSES
        if told.words[place] in _OPENS_ANOTHER:
            return False
    return False


_MAY_OPEN = spoken.DETERMINERS | spoken.ACTING_PRONOUNS
_OPENS_ANOTHER = spoken.SPEECH_JOINERS | spoken.ACTING_PRONOUNS | spoken.SUBORDINATORS | frozenset(_THIRD)


def ends_by_mark(word: str) -> bool:
    """Whether a mark at the word ends a sentence; behind an initial or an abbreviation it does not."""
    if not _END_MARK.search(word):
        return False
    said = bare(word)
    return not (word.endswith(".") and (said in spoken.ABBREVIATIONS or (len(said) == 1 and said.isalpha())))


def sentence_ends(words: Sequence[SpokenWord]) -> list[int]:
    """Indices of the words that are the last of their sentences, ascending; the very last word is one of them.

    A change of speaker ends a sentence.
    """
    ends: list[int] = []
    if not words:
        return ends
    marks = sum(1 for word in words if ends_by_mark(word.text))
    beside = _BESIDE_MARKS if marks >= MARKED * len(words) else 0.0
    running = Running()
    told = told_of(words)
    for gap in range(len(words) - 1):
        running.take(told.words[gap], told.verbs[gap])
        if words[gap].speaker != words[gap + 1].speaker or _is_end(words, told, gap, running, beside):
            ends.append(gap)
            running = Running()
    ends.append(len(words) - 1)
    return ends


def _is_end(words: Sequence[SpokenWord], told: Told, gap: int, running: Running, beside: float) -> bool:
    found = features_of(words, told, gap, running)
    if running.words >= LONGEST and "unfinished" not in found:
        return True
    score = sum(SENTENCE_WEIGHTS[name] * value for name, value in found.items())
    return score + (0.0 if "mark" in found else beside) > 0
