"""Where the sentences of running speech end.

Captions of speech mostly come without marks, or with marks that a recogniser guessed. Each gap between two words has a
score, the sum of what speaks for an end there: a pause, a full stop, the words before and behind. The scores are a
logistic regression (`talk_weights` says what it was fitted on) over our own word lists, from left to right, as a
sentence that has no verb yet does not end.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from fightnotes.language import in_talk, spoken
from fightnotes.language.talk import SpokenWord
from fightnotes.language.talk_weights import SENTENCE_WEIGHTS
from fightnotes.model import fold

_END_MARK = re.compile(r"(?:[.!?…。]+)[\"'”’)\]]*$")
_EDGE = re.compile(r"^[^\w]+|[^\w]+$")
SILENCE = 5
"""Seconds of silence behind which nobody goes on with the sentence (by hand)."""
LONGEST = 60
"""Words of a sentence, from which on it ends at the next word that may be a last one, at twice as many anyhow (by
hand)."""


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
    """Whether a word is written with a capital, is no `I`, and stands behind no mark that asks for one."""
    verbs: tuple[bool, ...]
    silences: tuple[float, ...]
    """Seconds in which nothing is said behind each word but the last."""


def told_of(words: Sequence[SpokenWord]) -> Told:
    said = tuple(bare(word.text.split()[-1]) for word in words)
    named = tuple(
        word.text[:1].isupper()
        and each.partition("'")[0] != "i"
        and not (number and ends_by_mark(words[number - 1].text))
        for number, (word, each) in enumerate(zip(words, said, strict=True))
    )
    starts, stops = [float(word.start) for word in words], [float(word.end) for word in words]
    return Told(
        said,
        named,
        tuple(_is_verb(said, named, number) for number in range(len(said))),
        tuple(max(0.0, start - stop) for start, stop in zip(starts[1:], stops, strict=False)),
    )


def _is_verb(words: Sequence[str], named: Sequence[bool], number: int) -> bool:
    """Whether a word is probably the verb of a clause."""
    word = words[number]
    if word in in_talk.FINITE or in_talk.CLAUSE_IN_A_WORD.match(word):
        return True
    before = words[number - 1] if number else ""
    after_subject = before in in_talk.ACTING_PRONOUNS or before in _THIRD or (number > 0 and named[number - 1])
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
            self.subordinate = word in in_talk.SUBORDINATORS


_BEFORE_A_SENTENCE = in_talk.FILLERS | in_talk.SPEECH_OPENERS | in_talk.SPEECH_JOINERS


def features_of(words: Sequence[SpokenWord], told: Told, gap: int, running: Running) -> dict[str, float]:
    """What speaks for and against an end between `words[gap]` and the next; only what is not 0."""
    last, first = told.words[gap], told.words[gap + 1]
    second = told.words[gap + 2] if gap + 2 < len(words) else ""
    joined = first in in_talk.SPEECH_JOINERS or first == "so"
    clause = _clause_begins(told, gap + 1)
    found = {
        "always": 1.0,
        "pause": _silence(told, gap),
        "unfinished": last in in_talk.UNFINISHED,
        "ending": last in in_talk.ENDING,
        "takes a clause": last in in_talk.TAKES_CLAUSE or (gap > 0 and told.words[gap - 1] in in_talk.TELLING),
        "goes on": first in in_talk.GOING_ON,
        "opener": first in in_talk.SPEECH_OPENERS,
        "now": first == "now",
        "joiner": first in in_talk.SPEECH_JOINERS,
        "joiner and name": joined and gap + 2 < len(words) and told.named[gap + 2],
        "joiner and pronoun": joined and (second in in_talk.ACTING_PRONOUNS or second in in_talk.SHORT_CLAUSES),
        "joiner and other": joined and (second in spoken.DETERMINERS or second in in_talk.POINTING_WORDS),
        "joiner and verb": joined and gap + 2 < len(words) and told.verbs[gap + 2] and not _begins_with_subject(second),
        "joiner and then": joined and second == "then",
        "short clause": first in in_talk.SHORT_CLAUSES,
        "acting pronoun": first in in_talk.ACTING_PRONOUNS,
        "pointing word": first in in_talk.POINTING_WORDS,
        "no one": first in in_talk.NO_ONE,
        "bidding": first in in_talk.BIDDING,
        "filler": first in in_talk.FILLERS,
        "article": first in spoken.DETERMINERS,
        "name": told.named[gap + 1],
        "comment": first in ("i", "you", "we") and second in in_talk.COMMENTING and _silence(told, gap + 2) > 1,
        "no verb yet": running.verbs == 0,
        "verb behind": clause,
        "clause behind a clause": clause and running.verbs > 0 and last not in in_talk.TAKES_CLAUSE,
        "half of two clauses": running.subordinate and running.verbs < 2,
        "short": max(0.0, 1 - running.words / 5),
        "long": math.log(max(1.0, running.words / 8)),
    }
    return {name: float(value) for name, value in found.items() if value}


def _begins_with_subject(word: str) -> bool:
    return word in in_talk.SHORT_CLAUSES or word in in_talk.BIDDING


def _silence(told: Told, gap: int) -> float:
    """How long nothing is said behind a word, as the logarithm of tenths of a second; 3 s are as good as a minute."""
    return math.log1p(10 * min(3.0, told.silences[gap])) if gap < len(told.silences) else 0.0


def _clause_begins(told: Told, first: int) -> bool:
    """Whether a word may open a clause: a verb follows soon, and nothing before it that opens another."""
    if told.words[first] in in_talk.SHORT_CLAUSES:
        return True
    if (
        told.verbs[first]
        or told.words[first] in in_talk.GOING_ON
        or told.words[first] in in_talk.UNFINISHED - _MAY_OPEN
    ):
        return False
    for place in range(first + 1, min(first + 1 + _VERB_WITHIN, len(told.words))):
        if told.verbs[place]:
            return told.words[place] not in in_talk.SHORT_CLAUSES
        if told.words[place] in _OPENS_ANOTHER:
            return False
    return False


_MAY_OPEN = spoken.DETERMINERS | in_talk.ACTING_PRONOUNS
_OPENS_ANOTHER = in_talk.SPEECH_JOINERS | in_talk.ACTING_PRONOUNS | in_talk.SUBORDINATORS | frozenset(_THIRD)


def has_end_mark(word: str) -> bool:
    return bool(_END_MARK.search(word))


def ends_by_mark(word: str) -> bool:
    """Whether a mark at the word ends a sentence; behind an initial or an abbreviation it does not."""
    if not has_end_mark(word):
        return False
    said = bare(word)
    return not (word.endswith(".") and (said in in_talk.ABBREVIATIONS or (len(said) == 1 and said.isalpha())))


def sentence_ends(words: Sequence[SpokenWord]) -> list[int]:
    """Indices of the words that are the last of their sentences, ascending; the very last word is one of them.

    A change of speaker, the name of one before a cue, and a silence end a sentence.
    """
    if not words:
        return []
    told = told_of(words)
    marks = [ends_by_mark(word.text) for word in words]
    if not any(marks):
        return _ends(words, told, [0.0] * len(words))[0]
    _, scores = _ends(words, told, [0.0] * len(words))
    at_mark, elsewhere = trust_in_marks(scores, marks[:-1], set_by_hand(told.words, marks))
    return _ends(words, told, [at_mark if mark else elsewhere for mark in marks])[0]


def set_by_hand(words: Sequence[str], marks: Sequence[bool]) -> bool:
    """Whether the marks stand where whoever sets them knows what is said: hardly ever behind a word, in its bare form,
    that ends no sentence. Marks of a recogniser that go by its pauses stand there nearly as often as such words do.
    """
    never_last = [word in _NEVER_LAST for word in words]
    by_chance = sum(marks) * sum(never_last) / len(words)
    return sum(never and mark for never, mark in zip(never_last, marks, strict=True)) * _RARER <= by_chance


_NEVER_LAST = in_talk.UNFINISHED - in_talk.ENDING - in_talk.FINITE - in_talk.FILLERS
_RARER = 8
"""How many times rarer than by chance a mark of a careful hand stands behind them (by hand)."""


def trust_in_marks(scores: Sequence[float], marks: Sequence[bool], by_hand: bool) -> tuple[float, float]:
    """What a mark says for the end of a sentence, and none against it: two log likelihood ratios.

    How often a mark stands at an end, and how often elsewhere, is told from the talk itself: where the words alone
    (`scores`, gap by gap) speak for an end, are there mostly marks? So stops in mid-sentence count for little
    (expectation maximisation after Dawid and Skene 1979, the words as the other witness). Marks set by hand all stand
    at ends: of short written sentences the words, which are weighed as they are spoken, know too little.
    """
    at_end, elsewhere = _AT_END, _ELSEWHERE
    for _ in range(_ROUNDS):
        ratios = math.log(at_end / elsewhere), math.log((1 - at_end) / (1 - elsewhere))
        likely = [
            1.0 if mark and by_hand else _logistic(score + ratios[0 if mark else 1])
            for score, mark in zip(scores, marks, strict=True)
        ]
        ends = sum(likely)
        marked = sum(one for one, mark in zip(likely, marks, strict=True) if mark)
        at_end = (marked + _AT_END * _BELIEF) / (ends + _BELIEF)
        elsewhere = (sum(marks) - marked + _ELSEWHERE * _BELIEF) / (len(marks) - ends + _BELIEF)
    return math.log(at_end / elsewhere), math.log((1 - at_end) / (1 - elsewhere))


_AT_END, _ELSEWHERE = 0.8, 0.01
"""Shares of ends, and of other gaps, at which a mark is expected before the talk is looked at (by hand)."""
_BELIEF = 5.0
"""How many gaps of each kind that counts for."""
_ROUNDS = 8
"""Of estimating ends and shares in turn; they hardly change after the fifth."""


def _logistic(score: float) -> float:
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, score))))


def _must_end(words: Sequence[SpokenWord], told: Told, gap: int, running: Running, found: Mapping[str, float]) -> bool:
    if words[gap].speaker != words[gap + 1].speaker or told.silences[gap] >= SILENCE or _label_opens(words, gap + 1):
        return True
    return running.words >= (2 * LONGEST if "unfinished" in found else LONGEST)


def _label_opens(words: Sequence[SpokenWord], first: int) -> bool:
    """Whether a cue opens with up to three words with capitals and a colon: the name of whoever says it."""
    if words[first].line == words[first - 1].line:
        return False
    for word in words[first : first + _LABEL]:
        if word.line != words[first].line or not word.text[:1].isupper():
            return False
        if word.text.endswith(":"):
            return True
    return False


_LABEL = 3


def _parts_a_round(told: Told, gap: int) -> bool:
    """Whether a round is named by the words on either side of the gap."""
    return bool(in_talk.ROUND_NAMED.fullmatch(f"{told.words[gap]} {told.words[gap + 1]}"))


def _ends(words: Sequence[SpokenWord], told: Told, beside: Sequence[float]) -> tuple[list[int], list[float]]:
    """The ends, and the score of each gap; `beside` is added to the score of the gap behind each word."""
    ends: list[int] = []
    scores: list[float] = []
    running = Running()
    for gap in range(len(words) - 1):
        running.take(told.words[gap], told.verbs[gap])
        found = features_of(words, told, gap, running)
        scores.append(sum(SENTENCE_WEIGHTS.get(name, 0.0) * value for name, value in found.items()))
        must = _must_end(words, told, gap, running, found)
        if must and running.words == 1 and ends and told.words[gap] in in_talk.SPEECH_JOINERS:
            ends.pop()  # an "and" that nothing follows is no sentence
        if must or (scores[-1] + beside[gap] > 0 and not _parts_a_round(told, gap)):
            ends.append(gap)
            running = Running()
    return [*ends, len(words) - 1], scores
