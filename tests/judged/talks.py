"""Talks of which a person judged every word: where moments and sentences end, what was misheard, who did what.

They are there to measure what the program makes of the same words, and were made by reading, without it. The truth of
a talk is a text file that an analyst can read:

    # A line that begins with "# " is a remark; an empty line says nothing.
    file: corpus_demo/transcripts/corvale-brandaal-2031-breakdown.vtt
    == round:4
    okay so this is the fourth and this is the one for me
    {brand all|Brandaal} has her hands at her waist exactly the same picture || by:brandaal
    she's expecting the left hand up at the head
    ...
    == round:5 clock:0:30
    so have a look at this
    fifth round last half minute watch the front foot of {core vale|Corvale} not the hands the foot
    it goes round the outside of {brand all's|Brandaal's} lead foot || by:corvale
    ...

- `file:`, before anything else: the caption file, relative to the top of the repository.
- Then every word of the captions in their order, none left out, added or respelled; white space does not count.
- `==` opens a moment: the smallest span about one exchange, or one topic where the talk is of no exchange. A
  change of who acts inside an exchange does not split it; a remark on the exchange belongs to it, a lead-in to
  what it leads to. Behind it stands what the words fix of its place: `round:`, also where it goes on from the
  moment before, and `clock:`, the reading of the round clock at its begin in the bout's direction, to the minute
  or ten seconds that are named. Nothing stands there where no one round is spoken of.
- Each further line is a sentence: it ends where a careful editor of running speech would put the full stop. That
  is between clauses that nothing joins, and before "and", "but" or "so" with a subject of its own where another
  fighter is named to act or the talk turns to something else. Together stay a punch and its result, a short
  answer, both halves of "not this, that", what is said twice, "look at this" with what is to be seen, and pieces
  without a verb with the clause that they explain. A filler at the joint goes with what follows.
- `{heard|meant}`: what the recogniser made of a fighter's name or a trade word, and what was said. All of them,
  in the lists of the library (`misheard`) or not; its other errors stand as they are.
- `||` behind a sentence tells of its acts, parted by `;`: `by:` and `on:` (ids of the fighters), `target:`,
  `outcome:`, the last two of the lists of the model. A field may stand twice. What they say is what these words
  and those before them make known to one who has no picture, but knows the front matter and the trade: names,
  corners and stances, which hand belongs to which stance, and whose habit a thing has been in this talk. What
  such a listener could not tell is left out; an act of which nothing is known is not written. `on:` stands where
  a thing is done to one: a punch, a hold, a feint or a bait whose words name the one it is for or bring the
  answer. A sentence that says how an earlier act came out tells of that act ("she doesn't take the bait": by the
  baiter, ignored; "he's hurt": by the one who hit); one that names or tells it again carries what is known of it
  by then. Taking a stance is an act. A comment, a count over rounds, a plan, a question, and what is denied or
  expected are none. A counter that is praised is heard as landed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from fightnotes.clock import parse_media_time
from fightnotes.model import ACT_KEYS, OUTCOMES, TARGETS, Fields
from fightnotes.reading.captions import read_captions

ROOT = Path(__file__).parents[2]
TALKS = sorted(Path(__file__).parent.rglob("talks/*.txt"))
"""Every talk that was judged, of any library."""

_MISHEARD = re.compile(r"\{([^{}|]+)\|([^{}|]+)\}")
_LISTED = {"outcome": OUTCOMES, "target": TARGETS}


@dataclass(frozen=True)
class Misheard:
    first: int
    last: int
    """Words of the talk, counted from 0; the last is one of them."""
    heard: str
    meant: str


@dataclass(frozen=True)
class JudgedSentence:
    first: int
    last: int
    """Words of the talk, counted from 0; the last is one of them."""
    text: str
    """As heard, one space between words."""
    acts: tuple[Fields, ...]


@dataclass(frozen=True)
class JudgedMoment:
    first: int
    """Its first word in the talk, counted from 0."""
    round: int | None
    clock: Fraction | None
    """Seconds that the round clock shows at its begin."""
    sentences: tuple[JudgedSentence, ...]


@dataclass(frozen=True)
class JudgedTalk:
    file: str
    """The caption file, relative to the top of the repository."""
    moments: tuple[JudgedMoment, ...]
    misheard: tuple[Misheard, ...]

    @property
    def sentences(self) -> tuple[JudgedSentence, ...]:
        return tuple(sentence for moment in self.moments for sentence in moment.sentences)


@dataclass
class _Open:
    """A moment that is being read."""

    line: int
    round: int | None
    clock: Fraction | None
    sentences: list[JudgedSentence] = field(default_factory=list)


def words_of(file: str) -> list[str]:
    """The words of all cues in their order; `file` is relative to the top of the repository."""
    captions = read_captions(file, (ROOT / file).read_text(encoding="utf-8"))
    return [word for cue in captions.cues for word in cue.text.split()]


def load_talk(path: Path) -> JudgedTalk:
    """Raises ValueError, with the line, where the words are not those of the captions or a mark is wrong."""
    lines = _lines(path)
    number, head = next(lines, (1, ""))
    with _placed(path, number):
        file = _file(head)
    words = words_of(file)
    moments: list[_Open] = []
    misheard: list[Misheard] = []
    at = 0
    for number, line in lines:
        with _placed(path, number):
            if line.split()[0] == "==":
                moments.append(_Open(number, *_place(line)))
                continue
            if not moments:
                raise ValueError("expected '==', which opens a moment, before the first sentence")
            sentence = _sentence(line, words, at)
            moments[-1].sentences.append(sentence)
            misheard += _misheard(line, at)
            at = sentence.last + 1
    if at < len(words):
        raise ValueError(f"{path}:{number}: the talk ends here, the captions go on with '{words[at]}'")
    for moment in moments:
        with _placed(path, moment.line):
            if not moment.sentences:
                raise ValueError("a moment without a sentence")
    return JudgedTalk(
        file=file,
        moments=tuple(
            JudgedMoment(moment.sentences[0].first, moment.round, moment.clock, tuple(moment.sentences))
            for moment in moments
        ),
        misheard=tuple(misheard),
    )


@contextmanager
def _placed(path: Path, line: int) -> Iterator[None]:
    """Adds the place to what is said of an error."""
    try:
        yield
    except ValueError as error:
        raise ValueError(f"{path}:{line}: {error}") from error


def _lines(path: Path) -> Iterator[tuple[int, str]]:
    """Lines that say something, with their numbers."""
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        if line.strip() and not line.startswith("# "):
            yield number, line.strip()


def _file(line: str) -> str:
    key, _, file = line.partition(": ")
    if key != "file" or not (ROOT / file).is_file():
        raise ValueError(f"expected 'file: ' and a caption file of the repository, found '{line}'")
    return file


def _place(line: str) -> tuple[int | None, Fraction | None]:
    marks = _marks(line.removeprefix("=="), ("round", "clock"))
    if len(marks["round"]) > 1 or len(marks["clock"]) > len(marks["round"]):
        raise ValueError("expected one round at most, and a clock in a round alone")
    for number in marks["round"]:
        if not number.isdecimal():
            raise ValueError(f"'round:{number}' is no round")
    return next(map(int, marks["round"]), None), next(map(parse_media_time, marks["clock"]), None)


def _sentence(line: str, words: Sequence[str], at: int) -> JudgedSentence:
    """The sentence of a line whose first word is the talk's word `at`."""
    text, bar, marks = line.partition("||")
    found = _heard(text).split()
    if not found:
        raise ValueError("marks without words")
    for place, word in enumerate(found, start=at):
        expected = f"the captions have '{words[place]}'" if place < len(words) else "the captions end before it"
        if place == len(words) or word != words[place]:
            raise ValueError(f"found '{word}', {expected}")
    acts = tuple(_act(act) for act in marks.split(";")) if bar else ()
    return JudgedSentence(at, at + len(found) - 1, " ".join(found), acts)


def _act(text: str) -> Fields:
    marks = _marks(text, ACT_KEYS)
    if not any(marks.values()):
        raise ValueError("an act without a field")
    for key, listed in _LISTED.items():
        for value in marks[key]:
            if value not in listed:
                raise ValueError(f"'{key}:{value}' is none of {', '.join(listed)}")
    return Fields.model_validate(marks)


def _marks(text: str, keys: Sequence[str]) -> dict[str, list[str]]:
    """The values of each key, in the order written."""
    marks: dict[str, list[str]] = {key: [] for key in keys}
    for mark in text.split():
        key, _, value = mark.partition(":")
        if key not in marks or not value:
            raise ValueError(f"'{mark}' is no mark: expected {', '.join(f'{key}:' for key in keys)} and a value")
        marks[key].append(value)
    return marks


def _heard(text: str) -> str:
    heard = _MISHEARD.sub(lambda match: match[1], text)
    wrong = re.search(r"[{}|]", heard)
    if wrong:
        raise ValueError(f"'{wrong[0]}' stands outside of a mark such as {{heard|meant}}")
    return heard


def _misheard(line: str, at: int) -> Iterator[Misheard]:
    """What is marked in a line whose first word is the talk's word `at`."""
    for match in _MISHEARD.finditer(line):
        first = at + len((_heard(line[: match.start()]) + match[1][0]).split()) - 1
        yield Misheard(first, first + len(match[1].split()) - 1, match[1], match[2])
