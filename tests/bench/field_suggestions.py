"""How well hidden fields are suggested again: python -m tests.bench.field_suggestions

The fields of notes are hidden, bout by bout or a fifth of each bout's notes at a time, their tags left, and suggested
from what the others have. Coverage is the share of the notes with the field for which it is answered, precision the
share of these answers that are what the note has, and that alone: of a note with two fighters in `by` each is wrong.
"At half" are the most probable answers, as many as cover half of the notes, with how many are right and the 95 %
interval of that share (Wilson 1927, as if notes were independent, which those of one bout are less than wholly). Rules
and probabilities were made on the bouts of `TUNED`, three of `fields_report` among them, and on the first four hands of
`fields_tune`; the weights of outcomes on the hands of `fields_taught` (`outcome_fit`), and how strongly they are drawn
was chosen with the five other hands of `fields_tune` in view, too. The other bouts, the two others of `fields_report`,
those of `fields_further` and the second library are reported, and never looked into. An answer for a note that lacks
the field is counted as `more`: analysts leave fields out, so that it need not be wrong.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from statsmodels.stats.proportion import proportion_confint

from fightnotes.index.local_store import LocalStore
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import ACT_KEYS, Bout, Fields, Segment
from fightnotes.suggesting.fields import suggest_fields
from fightnotes.suggesting.outcome_evidence import NoteVectors, note_vectors
from fightnotes.suggesting.outcome_model import shipped_weights
from tests.bench.built import built_copy
from tests.bench.table import print_reliability

DEMO = Path(__file__).parents[2] / "corpus_demo"
JUDGED = Path(__file__).parents[1] / "judged"
SECOND, OTHER_HANDS, REPORTED = JUDGED / "second", JUDGED / "fields_tune", JUDGED / "fields_report"
FURTHER = JUDGED / "fields_further"
FIRST_FOUR = (
    "ostravell-brackmere-2034", "vornhagen-adanquo-2035", "pennorth-morcastle-2033", "tavimek-iversholm-2036",
)  # fmt: skip
"""Of `OTHER_HANDS`."""
TUNED = (
    "brandaal-kazehori-2031", "corvale-brandaal-2031", "corvale-ljungskar-2030", "corvale-umoreke-2029",
    "iturbena-adutwumba-2030", "iturbena-thackmoor-2030", "kazehori-umoreke-2030", "ljungskar-gwernllwyd-2029",
    "orzhelian-iturbena-2031", "orzhelian-strzemior-2030", "oudewaal-vadaskurti-2030",
    "pelkora-dravik-2033", "quarle-nembury-2034", "drobeck-stennack-2035",
)  # fmt: skip
FOLDS = 5
SHOWN = 0.5
"""Least probability of an answer that counts, but for `at half`."""
LEAST_PRECISION = 0.9
STEPS = (0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.01)


@dataclass(frozen=True)
class Answer:
    key: str
    probability: float
    right: bool | None
    """None where the note has no such field."""
    value: str


def without_fields(segment: Segment, tags: bool = True) -> Segment:
    bare = tuple(tag.model_copy(update={"own": Fields()}) for tag in segment.tags) if tags else ()
    return segment.model_copy(update={"fields": Fields(), "tags": bare})


@dataclass(frozen=True)
class Judged:
    """A library whose fields are hidden in turn."""

    bouts: dict[str, Bout]
    reader: NoteReader
    notes: list[Segment]
    vectors: NoteVectors


def judged(root: Path) -> Judged:
    with tempfile.TemporaryDirectory() as folder:
        store = LocalStore(built_copy(root, Path(folder)))
        segments = store.every_segment()
        vectors = note_vectors(list(segments.values()), store.vectors_of(list(segments)), shipped_weights().usual)
        notes = [each for each in segments.values() if each.kind == "note" and each.timed]
        return Judged(store.bouts, NoteReader(store.bouts, store.vocabulary), notes, vectors)


def folds(notes: Sequence[Segment], by_bout: bool) -> Iterator[list[Segment]]:
    if by_bout:
        for bout in dict.fromkeys(note.bout for note in notes):
            yield [note for note in notes if note.bout == bout]
    else:
        yield from (list(notes[fold::FOLDS]) for fold in range(FOLDS))


def answers(library: Judged, parts: Iterable[list[Segment]], tags: bool) -> list[Answer]:
    found: list[Answer] = []
    for hidden in parts:
        true = {note.place: note for note in hidden}
        rest = [note for note in library.notes if note.place not in true]
        bare = [without_fields(note, tags) for note in hidden]
        for each in suggest_fields(rest, bare, library.bouts, library.reader, 0.0, library.vectors):
            held = true[each.place].all_of(each.field)
            found.append(Answer(each.field, each.probability, set(held) == {each.value} if held else None, each.value))
    return found


def precision(found: Sequence[Answer]) -> float:
    return sum(bool(each.right) for each in found) / max(len(found), 1)


def likelier_half(found: Iterable[Answer], key: str, have: int) -> list[Answer]:
    """The most probable answers for notes that have the field, as many as are half of them."""
    told = sorted((e for e in found if e.key == key and e.right is not None), key=lambda e: -e.probability)
    return told[: (have + 1) // 2]


def at_half(half: Sequence[Answer]) -> str:
    right = sum(bool(each.right) for each in half)
    low, high = proportion_confint(right, len(half), method="wilson")
    short = "" if precision(half) >= LEAST_PRECISION else "  BELOW"
    shares = f"{right:3} of {len(half):3}, {precision(half):.3f} ({low:.2f} to {high:.2f})"
    return f"{shares}, from {half[-1].probability:.2f}{short}"


def report(title: str, library: Judged, notes: Sequence[Segment], by_bout: bool, tags: bool = True) -> None:
    found = answers(library, folds(notes, by_bout), tags)
    print(f"\n{title}: {len(notes)} notes")
    print(f"{'':8}{'have it':>8}{'precision':>11}{'coverage':>10}{'more':>6}  at half")
    for key in ACT_KEYS:
        have = sum(bool(note.all_of(key)) for note in notes)
        shown = [e for e in found if e.key == key and e.right is not None and e.probability >= SHOWN]
        half = likelier_half(found, key, have)
        more = sum(e.key == key and e.right is None and e.probability >= SHOWN for e in found)
        print(
            f"{key:8}{have:8}{precision(shown):11.3f}{len(shown) / max(have, 1):10.3f}{more:6}  "
            f"{at_half(half) if len(half) * 2 >= have > 0 else '-'}"
        )
    outcomes = sorted({each.value for each in found if each.key == "outcome"})
    shown = [each for each in found if each.probability >= SHOWN and each.right is not None]
    for value in outcomes:
        told = [each for each in shown if each.value == value and each.key == "outcome"]
        print(
            f"  {value} {sum(bool(each.right) for each in told)} of {len(told)};",
            end="" if value != outcomes[-1] else "\n",
        )
    print_reliability([(each.probability, each.right) for each in found if each.right is not None], STEPS)


def main() -> None:
    roots = DEMO, SECOND, OTHER_HANDS, REPORTED, FURTHER
    demo, second, hands, reported, further = map(judged, roots)
    tuned = [note for note in demo.notes if note.bout in TUNED]
    other = [note for note in demo.notes if note.bout not in TUNED]
    report("the whole demo, each bout held back", demo, demo.notes, True)
    report("tuned bouts, each held back", demo, tuned, True)
    four = [note for note in hands.notes if note.bout in FIRST_FOUR]
    five = [note for note in hands.notes if note.bout not in FIRST_FOUR]
    three = [note for note in reported.notes if note.bout in TUNED]
    two = [note for note in reported.notes if note.bout not in TUNED]
    for title, library, notes in (
        ("four other hands, tuned on", hands, four),
        ("five hands that outcomes were tuned on", hands, five),
        ("three further hands, tuned on", reported, three),
        ("two reported hands", reported, two),
        ("four further hands", further, further.notes),
        ("reported bouts", demo, other),
    ):
        report(f"{title}, each held back", library, notes, True)
        report("the same without their tags: words alone", library, notes, True, tags=False)
    report("tuned bouts, a fifth of the notes held back", demo, tuned, False)
    report("reported bouts, a fifth of the notes held back", demo, other, False)
    report("second library, each bout held back", second, second.notes, True)
    report("second library, a fifth of the notes held back", second, second.notes, False)


if __name__ == "__main__":
    main()
