"""How well it is told who did what in talk: python -m tests.bench.talk_attribution

The truth (`tests/judged/talks.py`) says for each sentence which acts it tells; a moment's are those of its sentences.
The texts are those of the truth with its `meant` words, so that neither repair nor splitting is measured; `measured`
takes any other segmentation. An answer (0.5 up) is right where an act of the truth has the value, and, but for `by`, no
other fighter; "accuracy" counts it as wrong where the truth has no such field, "where told" leaves it out. Coverage is
the share of the sentences or moments with the field for which one is told. The demo's talks and `TUNED` were tuned on.

Last come the program's own moments, from the captions as they were heard, repairs and splitting included: a moment has
the acts of the true sentences of which most words lie in it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache
from itertools import pairwise
from pathlib import Path

from fightnotes.index.inferred import SURE_ENOUGH, with_inferred
from fightnotes.language.acts_told import ToldAct, acts_done, acts_of, last_spoken_of
from fightnotes.language.fields_said import FieldKey, SaidField
from fightnotes.language.labels import LabelFinder, label_finder, labels_of
from fightnotes.language.note_reader import NoteReader
from fightnotes.language.people import People, people_of
from fightnotes.model import Fields, InferredAct
from fightnotes.reading.library import LibraryReading, read_library
from tests.bench.table import print_reliability
from tests.judged.talks import ROOT, TALKS, JudgedTalk, load_talk

KEYS: tuple[FieldKey, ...] = ("by", "on", "target", "outcome")
SHOWN = 0.5
"""Least probability of an answer."""
TUNED = ("fettimore-kessalwyn-live",)
"""Talks outside the demo that were tuned on."""
STEPS = (0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 1.01)


@dataclass(frozen=True)
class Passage:
    """A sentence or a moment: what it says, what the truth has it tell, what is told of it."""

    text: str
    true: tuple[Fields, ...]
    told: tuple[ToldAct, ...]


@dataclass(frozen=True)
class Answer:
    key: FieldKey
    value: str
    probability: float
    right: bool
    known: bool
    """Whether the truth has such a field there."""
    text: str


@dataclass(frozen=True)
class Spoken:
    """What a talk is read with."""

    people: People
    labels: LabelFinder


@cache
def _library(root: Path) -> LibraryReading:
    return read_library(root)


def _reading_of(talk: JudgedTalk) -> LibraryReading:
    return _library(next(up for up in (ROOT / talk.file).parents if (up / "library.yaml").is_file()))


def spoken_of(talk: JudgedTalk) -> Spoken:
    reading = _reading_of(talk)
    file = (ROOT / talk.file).relative_to(reading.root).as_posix()
    bout = next(segment.bout for segment in reading.segments if segment.file == file)
    people = people_of(next(each for each in reading.bouts if each.id == bout), misheard=True)
    return Spoken(people, label_finder(labels_of(reading.vocabulary)))


def meant(talk: JudgedTalk) -> list[str]:
    """The words as they were meant: those for what was misheard stand at its first word, and nothing at the others."""
    words = [word for sentence in talk.sentences for word in sentence.text.split()]
    for one in talk.misheard:
        words[one.first : one.last + 1] = [one.meant] + [""] * (one.last - one.first)
    return words


def text_of(words: Sequence[str], first: int, last: int) -> str:
    return " ".join(word for word in words[first : last + 1] if word)


def moments(talk: JudgedTalk) -> list[list[tuple[str, tuple[Fields, ...]]]]:
    """For each moment its sentences, with the acts that they tell."""
    words = meant(talk)
    return [
        [(text_of(words, each.first, each.last), each.acts) for each in moment.sentences] for moment in talk.moments
    ]


def measured(
    spoken: Spoken, parts: Iterable[Sequence[tuple[str, tuple[Fields, ...]]]]
) -> tuple[list[Passage], list[Passage]]:
    """Sentences and moments of any segmentation: for each moment its sentences, with the true acts that lie in them."""
    sentences: list[Passage] = []
    whole: list[Passage] = []
    topic = None
    for part in parts:
        text, begins = "", []
        for sentence, _ in part:
            begins.append(len(text))
            text += f"{sentence}. "
        done = acts_done(text, spoken.people, spoken.labels, topic)
        told = acts_of(text, done, spoken.people)
        whole.append(Passage(text, tuple(act for _, acts in part for act in acts), told))
        begins.append(len(text))
        for (sentence, acts), (begin, stop) in zip(part, pairwise(begins), strict=True):
            here = acts_of(text, [act for act in done if begin <= act.clause.begin < stop], spoken.people)
            sentences.append(Passage(sentence, acts, here))
        topic = last_spoken_of(text, spoken.people, topic)
    return sentences, whole


def own_moments(talk: JudgedTalk) -> list[Passage]:
    """What the library's own reading makes of the words, each of its moments with the acts of the truth there."""
    reading = _reading_of(talk)
    file = (ROOT / talk.file).relative_to(reading.root).as_posix()
    segments = [each for each in reading.segments if each.file == file and each.text]
    inferred = with_inferred(segments, NoteReader({bout.id: bout for bout in reading.bouts}, reading.vocabulary))
    true = _true_of([segment.text for segment in inferred], talk)
    return [
        Passage(segment.text, acts, tuple(_told(act) for act in segment.inferred))
        for segment, acts in zip(inferred, true, strict=True)
    ]


def _true_of(texts: Sequence[str], talk: JudgedTalk) -> list[tuple[Fields, ...]]:
    """The acts of each of the moments: a sentence is told in that which has most of its words, those unrepaired."""
    own = [(_plain(word), number) for number, text in enumerate(texts) for word in text.split()]
    heard = [_plain(word) for sentence in talk.sentences for word in sentence.text.split()]
    matcher = SequenceMatcher(None, heard, [word for word, _ in own], autojunk=False)
    place = {
        block.a + step: own[block.b + step][1] for block in matcher.get_matching_blocks() for step in range(block.size)
    }
    found: list[tuple[Fields, ...]] = [()] * len(texts)
    for sentence in talk.sentences:
        numbers = Counter(place[word] for word in range(sentence.first, sentence.last + 1) if word in place)
        if numbers:
            found[numbers.most_common(1)[0][0]] += sentence.acts
    return found


def _plain(word: str) -> str:
    return word.casefold().strip(".,;:!?…")


def _told(act: InferredAct) -> ToldAct:
    fields = (SaidField(each.key, each.value, each.probability, each.words) for each in act.fields)
    return ToldAct(tuple(fields), 0, 0)


def answers(passages: Iterable[Passage]) -> list[Answer]:
    found: dict[tuple[int, str, str], Answer] = {}
    for number, passage in enumerate(passages):
        for act in passage.told:
            by = act.value("by")
            for field in act.fields:
                right = any(
                    field.value in getattr(true, field.key)
                    and (field.key == "by" or by is None or not true.by or by in true.by)
                    for true in passage.true
                )
                known = any(getattr(true, field.key) for true in passage.true)
                answer = Answer(field.key, field.value, field.probability, right, known, passage.text)
                place = number, field.key, field.value
                if place not in found or found[place].probability < answer.probability:
                    found[place] = answer
    return list(found.values())


def report(title: str, passages: Sequence[Passage], least: float = SHOWN) -> None:
    found = answers(passages)
    print(f"\n{title}, from {least} up: {len(passages)}")
    print(f"{'':8}{'have it':>8}{'told':>6}{'accuracy':>10}{'where told':>12}{'coverage':>10}")
    for key in KEYS:
        have = [one for one in passages if any(getattr(true, key) for true in one.true)]
        told = [one for one in found if one.key == key and one.probability >= least]
        known = [one for one in told if one.known]
        covered = sum(
            any(field.key == key and field.probability >= least for act in one.told for field in act.fields)
            for one in have
        )
        figures = f"{share(told):10.3f}{share(known):12.3f}{covered / max(len(have), 1):10.3f}"
        print(f"{key:8}{len(have):8}{len(told):6}{figures}")


def share(found: Sequence[Answer]) -> float:
    return sum(each.right for each in found) / max(len(found), 1)


def main() -> None:
    groups: dict[str, list[Path]] = {"demo, tuned on": [], "third library, tuned on": [], "never tuned on": []}
    for path in TALKS:
        demo, tuned = path.parent.parent.name == "judged", path.stem in TUNED
        groups["demo, tuned on" if demo else "third library, tuned on" if tuned else "never tuned on"].append(path)
    for title, paths in groups.items():
        talks = [load_talk(path) for path in paths]
        parts = [measured(spoken_of(talk), moments(talk)) for talk in talks]
        sentences = [one for part, _ in parts for one in part]
        whole = [one for _, part in parts for one in part]
        for least in (SHOWN, SURE_ENOUGH):
            report(f"{title}: sentences", sentences, least)
            report(f"{title}: moments", whole, least)
        print_reliability([(each.probability, each.right) for each in answers(sentences)], STEPS)
        report(f"{title}: the program's own moments", [one for talk in talks for one in own_moments(talk)], SURE_ENOUGH)


if __name__ == "__main__":
    main()
