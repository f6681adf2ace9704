"""The sentences of a talk in moments: the smallest spans about one exchange, or one topic.

Each gap between two sentences has a score, the sum of what speaks for a new moment there: a shift of the words, how the
next sentence begins, a pause, a round that is named. The moments are those that together score best, each with its
length, found from left to right (dynamic programming). The weights are a logistic regression; `talk_weights` says what
they were fitted on.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise

from fightnotes.language import in_talk
from fightnotes.language.cohesion import depths
from fightnotes.language.labels import LabelFinder, find_labels
from fightnotes.language.names import NameIndex, find_names
from fightnotes.language.round_mentions import RoundFollower, RoundMention, round_mentions
from fightnotes.language.sentence_ends import bare, sentence_ends
from fightnotes.language.talk import SpokenWord
from fightnotes.language.talk_weights import MOMENT_WEIGHTS
from fightnotes.language.words import content_stems

LONGEST = 90
"""Seconds of a moment (by hand): twice what is usually said of one exchange."""
MOST_SENTENCES = 40
MOST_WORDS = 300
"""What a moment may hold beside (by hand); a single sentence may be longer than all three."""
Features = Mapping[str, float]


@dataclass(frozen=True)
class TalkSentence:
    """Words `first` to `last` of a talk, with what tells of where moments begin."""

    first: int
    last: int
    start: Fraction
    end: Fraction
    speaker: str | None
    text: str
    """Its words in their bare form, one space between."""
    stems: tuple[str, ...]
    """Of its content words."""
    meant: tuple[str, ...]
    """The concepts and fighters that it names, by id."""
    mentions: tuple[RoundMention, ...]

    @property
    def size(self) -> int:
        """How many words it has."""
        return self.last - self.first + 1


def talk_sentences(words: Sequence[SpokenWord], labels: LabelFinder, names: NameIndex) -> list[TalkSentence]:
    """The sentences of a talk, in order, no word left out."""
    found: list[TalkSentence] = []
    first = 0
    for last in sentence_ends(words):
        said = words[first : last + 1]
        text = " ".join(word.text for word in said)
        meant = [mention.concept for mention in find_labels(text, labels)]
        meant += [place.fighter for place in find_names(text, names)]
        bare_words = [bare(part) for word in said for part in word.text.split()]
        found.append(
            TalkSentence(
                first,
                last,
                said[0].start,
                said[-1].end,
                said[0].speaker,
                " ".join(bare_words),
                tuple(content_stems(text)),
                tuple(meant),
                tuple(round_mentions(bare_words)),
            )
        )
        first = last + 1
    return found


def moment_starts(sentences: Sequence[TalkSentence]) -> list[int]:
    """Indices of the sentences with which the moments begin, ascending; 0 is one of them.

    A change of speaker begins a moment.
    """
    return best_starts(sentences, gap_features(sentences, shifts_of(sentences))) if sentences else []


def shifts_of(sentences: Sequence[TalkSentence]) -> list[float]:
    """How far the words shift before each sentence but the first."""
    return depths([(*sentence.stems, *sentence.meant) for sentence in sentences])


def gap_features(sentences: Sequence[TalkSentence], shifts: Sequence[float]) -> list[dict[str, float]]:
    """What speaks for and against a new moment before each sentence but the first; only what is not 0."""
    found: list[dict[str, float]] = []
    quiet = _quiet(sentences)
    current = _round_told(sentences[0], None)
    announced = _announces(sentences[0], None)
    pauses = [max(0.0, float(behind.start - before.end)) for before, behind in pairwise(sentences)] + [0.0]
    for number in range(1, len(sentences)):
        behind = sentences[number]
        first = behind.text.split(" ", 1)[0]
        told = _round_told(behind, current)
        pause, new_round = pauses[number - 1], told != current
        announces = _announces(behind, current)
        if announces and number + 1 < len(sentences):  # what it leads to begins with it
            pause = max(pause, pauses[number])
            new_round |= _round_told(sentences[number + 1], told) != current
        values = {
            "always": 1.0,
            "shift": shifts[number - 1],
            "pause": 0.0 if announced else math.log1p(10 * min(10.0, pause)),
            "no pause": quiet if pauses[number - 1] < _SILENCE else 0.0,
            "turn": bool(in_talk.TURNS.match(behind.text)),
            "announces": announces,
            "announced": announced,
            "round": new_round and not announced,
            "clock": any(mention.counting for mention in behind.mentions),
            "sums up": bool(in_talk.SUMMING_UP.search(behind.text)),
            "opener": first in in_talk.TOPIC_OPENERS,
            "joiner": first in in_talk.SPEECH_JOINERS,
        }
        found.append({name: float(value) for name, value in values.items() if value})
        current, announced = told, announces
    return found


def _quiet(sentences: Sequence[TalkSentence]) -> float:
    """The share of a talk's time in which nothing is said; one over footage that runs is silent between exchanges."""
    pauses = (float(behind.start - before.end) for before, behind in pairwise(sentences))
    length = float(sentences[-1].end - sentences[0].start)
    return sum(pause for pause in pauses if pause >= _SILENCE) / length if length > 0 else 0.0


_SILENCE = 0.5
"""Seconds from which on a pause is more than a breath (by hand)."""


def _round_told(sentence: TalkSentence, current: int | None) -> int | None:
    """The round in which a talk is behind a sentence."""
    follower = RoundFollower(None, current)
    follower.follow(sentence.mentions)
    return follower.round


def _announces(sentence: TalkSentence, current: int | None) -> bool:
    """Whether a sentence says no more than that something else comes."""
    if sentence.size > _ANNOUNCEMENT:
        return False
    return bool(in_talk.ANNOUNCING.search(sentence.text)) or _round_told(sentence, current) != current


_ANNOUNCEMENT = 12
"""Words at most of a sentence that only announces (by hand)."""


def length_features(words: int) -> dict[str, float]:
    """What speaks for and against an end of a moment when it has as many words."""
    return {"short": max(0.0, 1 - words / 20), "long": math.log(max(1.0, words / 40))}


def best_starts(sentences: Sequence[TalkSentence], gaps: Sequence[Mapping[str, float]]) -> list[int]:
    """The starts whose gaps score best together with the lengths of the moments that end there."""
    ahead = [0, *accumulate(sentence.size for sentence in sentences)]
    times = [(float(sentence.start), float(sentence.end)) for sentence in sentences]
    lengths = [_score(length_features(words)) for words in range(max(MOST_WORDS, *(s.size for s in sentences)) + 1)]
    begins = [0.0, *map(_score, gaps), 0.0]
    best, opening = [0.0], [0]
    for stop in range(1, len(sentences) + 1):
        last = stop == len(sentences)  # the talk ends there, however long the moment is
        value, first = max(
            (best[each] + (0.0 if last else lengths[ahead[stop] - ahead[each]]), each)
            for each in _openings(sentences, times, ahead, stop)
        )
        best.append(value + begins[stop])
        opening.append(first)
    starts = [opening[-1]]
    while starts[-1] > 0:
        starts.append(opening[starts[-1]])
    return starts[::-1]


def _score(found: Mapping[str, float]) -> float:
    return sum(MOMENT_WEIGHTS.get(name, 0.0) * value for name, value in found.items())


def _openings(
    sentences: Sequence[TalkSentence], times: Sequence[tuple[float, float]], ahead: Sequence[int], stop: int
) -> list[int]:
    """Where the moment that ends before sentence `stop` may begin, the latest first."""
    found = [stop - 1]
    speaker, end = sentences[stop - 1].speaker, times[stop - 1][1]
    for first in range(stop - 2, max(-1, stop - 1 - MOST_SENTENCES), -1):
        too_long = end - times[first][0] > LONGEST or ahead[stop] - ahead[first] > MOST_WORDS
        if too_long or sentences[first].speaker != speaker:
            break
        found.append(first)
    return found
