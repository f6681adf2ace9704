"""Kinds of fault, each with a planter that leaves one in the text files as a tired analyst would."""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from fightnotes.language.words import is_content, words_of
from fightnotes.model import Fields, Segment, Tag, as_tag
from fightnotes.reading.library import LibraryReading

T = TypeVar("T")
BATCH = 10
NO_JUDGEMENT = 0.95
JUDGEMENT = 0.7
"""The least recall that is asked of rules of either sort."""


@dataclass
class Page:
    """A text file while faults are planted: its lines, which may grow to several."""

    lines: list[str]

    def swap(self, line: int, old: str, new: str, column: int = 1) -> None:
        before = self.lines[line - 1]
        at = before.index(old, column - 1)
        self.lines[line - 1] = before[:at] + new + before[at + len(old) :]


@dataclass
class Ground:
    """A copy of the demo under the planter's hand."""

    reading: LibraryReading
    rng: random.Random
    pages: dict[str, Page]
    used: set[tuple[str, int]] = field(default_factory=set)

    def notes(self, *, single_line: bool = False, timed: bool = True) -> list[Segment]:
        return [
            note
            for note in self.reading.segments
            if note.kind == "note"
            and note.timed == timed
            and (note.line == note.last_line or not single_line)
            and not any((note.file, line) in self.used for line in range(note.line - 3, note.last_line + 4))
        ]

    def tags(self) -> list[tuple[Segment, Tag]]:
        return [(note, tag) for note in self.notes() for tag in note.tags if tag.concept]

    def page(self, note: Segment) -> Page:
        return self.pages[note.file]

    def other_concept(self, name: str) -> str:
        vocabulary = self.reading.vocabulary
        away = {*vocabulary.with_broader(name), *vocabulary.with_narrower(name)}
        return self.rng.choice([one.id for one in vocabulary.concepts if one.id not in away and one.broader])


@dataclass(frozen=True)
class Planted:
    """A fault, on the lines of the file as it was before planting."""

    file: str
    first: int
    last: int
    follows: bool = False
    """Whether it stands in lines added behind `last`, which it does not include."""


@dataclass(frozen=True)
class Kind:
    name: str
    rules: tuple[str, ...]
    least: float | None
    """The recall that is asked for; None where it is measured alone."""
    plant: Callable[[Ground], Planted | None]
    """Plants one; None where no place is left."""
    rebuild: bool = False
    """Whether new text must be embedded for the rule to see it."""
    batch: int = BATCH


def _at(note: Segment) -> Planted:
    return Planted(note.file, note.line, note.last_line)


def _pick(ground: Ground, choices: list[T]) -> T | None:
    return ground.rng.choice(choices) if choices else None


def _slip_of_the_hand(word: str, rng: random.Random) -> str:
    at = rng.randrange(1, len(word) - 1)
    letter = rng.choice("abcdefghijklmnopqrstuvwxyz")
    return rng.choice(
        [
            word[:at] + word[at + 1 :],
            word[:at] + word[at] + word[at:],
            word[:at] + letter + word[at + 1 :],
            word[:at] + word[at + 1] + word[at] + word[at + 2 :],
        ]
    )


def misspelt_tag(ground: Ground) -> Planted | None:
    picked = _pick(ground, ground.tags())
    if picked is None:
        return None
    note, tag = picked
    wrong = tag.written
    while ground.reading.vocabulary.resolve(wrong):
        wrong = _slip_of_the_hand(tag.written, ground.rng)
    ground.page(note).swap(tag.line, f"#{tag.written}", f"#{wrong}", tag.column)
    return _at(note)


def label_for_id(ground: Ground) -> Planted | None:
    by_id = ground.reading.vocabulary.by_id
    picked = _pick(ground, [(n, t) for n, t in ground.tags() if t.written == t.concept and by_id[t.name].also])
    if picked is None:
        return None
    note, tag = picked
    label = ground.rng.choice(by_id[tag.name].also)
    ground.page(note).swap(tag.line, f"#{tag.written}", f"#{as_tag(label)}", tag.column)
    return _at(note)


_PERSON = re.compile(r"\b(by|on):(\w+)")
_VALUE = re.compile(r"\b(target|outcome):(\w+)")


def _marks(ground: Ground, pattern: re.Pattern[str]) -> list[tuple[Segment, int, re.Match[str]]]:
    return [
        (note, line, match)
        for note in ground.notes()
        for line in range(note.line, note.last_line + 1)
        for match in pattern.finditer(ground.page(note).lines[line - 1])
    ]


def foreign_fighter(ground: Ground) -> Planted | None:
    picked = _pick(ground, _marks(ground, _PERSON))
    if picked is None:
        return None
    note, line, match = picked
    bout = next(bout for bout in ground.reading.bouts if bout.id == note.bout)
    own = {fighter.id for fighter in bout.fighters}
    others = [fighter.id for fighter in ground.reading.settings.fighters if fighter.id not in own]
    ground.page(note).swap(line, match[0], f"{match[1]}:{ground.rng.choice(others)}", match.start() + 1)
    return _at(note)


def unknown_value(ground: Ground) -> Planted | None:
    picked = _pick(ground, _marks(ground, _VALUE))
    if picked is None:
        return None
    note, line, match = picked
    mine = ("torso", "chin", "midsection", "jaw") if match[1] == "target" else ("hit", "clean", "grazed", "countered")
    wrong = ground.rng.choice([*mine, _slip_of_the_hand(match[2], ground.rng)])
    ground.page(note).swap(line, match[0], f"{match[1]}:{wrong}", match.start() + 1)
    return _at(note) if wrong != match[2] else None


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 3600}:{int(seconds) // 60 % 60:02d}:{int(seconds) % 60:02d}"


def outside_the_rounds(ground: Ground) -> Planted | None:
    bouts = {bout.id: bout for bout in ground.reading.bouts}
    usable = [note for note in ground.notes() if bouts[note.bout].rounds and note.round and note.written_time]
    note = _pick(ground, usable)
    if note is None:
        return None
    bout = bouts[note.bout]
    assert bout.rounds
    assert note.round
    assert note.written_time
    bell = bout.bells.get(note.round)
    late = ground.rng.uniform(5, 50)
    if note.written_time.startswith("R") and (bell is None or ground.rng.random() < 0.5):
        wrong = f"R{note.round} {_clock(float(bout.rounds.length) + late)[2:].lstrip('0')}"
    else:
        assert bell
        wrong = _clock(float(bell.time + bout.rounds.length) + late)
    ground.page(note).swap(note.line, note.written_time, wrong)
    return _at(note)


def _apart(note: Segment) -> tuple[str, int]:
    return note.file, note.line


def moved_line(ground: Ground) -> Planted | None:
    """A line pasted where it does not belong, at least two notes up or down."""
    notes = [note for note in ground.notes(single_line=True) if note.parent_line is None]
    everything = [note for note in ground.reading.segments if note.kind == "note" and note.timed]
    picked = _pick(ground, notes)
    if picked is None:
        return None
    file = [note for note in everything if note.file == picked.file]
    here = next(index for index, note in enumerate(file) if note.line == picked.line)
    step = ground.rng.choice((-5, -4, -3, 3, 4, 5))
    there = here + step
    if not 0 <= there < len(file) or file[there].parent_line or file[there].line != file[there].last_line:
        return None
    page = ground.page(picked)
    line = page.lines[picked.line - 1]
    target = file[there].line
    page.lines[picked.line - 1] = ""
    page.lines[target - 1] = f"{page.lines[target - 1]}\n{line}" if step > 0 else f"{line}\n{page.lines[target - 1]}"
    ground.used.add((picked.file, picked.line))
    return Planted(picked.file, target, target)


def wrong_heading(ground: Ground) -> Planted | None:
    headings = [
        (file, number, match)
        for file, page in ground.pages.items()
        for number, line in enumerate(page.lines, 1)
        if (match := re.fullmatch(r"## Round (\d+)", line)) and (file, number) not in ground.used
    ]
    picked = _pick(ground, headings)
    if picked is None:
        return None
    file, number, match = picked
    wrong = ground.rng.choice([other for other in range(1, 11) if other != int(match[1])])
    page = ground.pages[file]
    page.lines[number - 1] = f"## Round {wrong}"
    below = next((n for f, n, _ in headings if f == file and n > number), len(page.lines) + 1)
    return Planted(file, number, below - 1)


def written_twice(ground: Ground) -> Planted | None:
    note = _pick(ground, ground.notes(single_line=True))
    if note is None:
        return None
    page = ground.page(note)
    copy = page.lines[note.line - 1]
    if ground.rng.random() < 0.5:  # typed again, not pasted
        copy = ground.rng.choice(
            [copy.replace(". #", " #", 1), copy.replace(",", "", 1), copy.replace(" the ", " ", 1)]
        )
    page.lines[note.line - 1] += f"\n{copy}"
    return _at(note)


def written_again(ground: Ground) -> Planted | None:
    """A note told once more some seconds later: half of them in the words of another analyst who noted the moment."""
    notes = [note for note in ground.notes(single_line=True) if note.start is not None and len(note.text) > 40]
    by_others = [
        (note, other)
        for note in notes
        for other in ground.reading.segments
        if other.kind == "note" and other.bout == note.bout and other.analyst != note.analyst
        if other.start is not None and abs(other.start - note.start) <= 2 and len(other.text) > 40
    ]
    if by_others and ground.rng.random() < 0.5:
        note, other = ground.rng.choice(by_others)
        text = " ".join(other.text.split())
    else:
        note = ground.rng.choice(notes)
        text = _reworded(note.text, ground.rng)
    assert note.start is not None
    tags = " ".join(f"#{tag.name}" for tag in note.tags)
    page = ground.page(note)
    dash = page.lines[note.line - 1].split("-", 1)[0]
    page.lines[note.line - 1] += f"\n{dash}- {_clock(float(note.start) + ground.rng.randint(2, 6))} {text} {tags}"
    return _at(note)


def parent_beside_child(ground: Ground) -> Planted | None:
    vocabulary = ground.reading.vocabulary
    picked = _pick(ground, [(n, t) for n, t in ground.tags() if vocabulary.by_id[t.name].broader])
    if picked is None:
        return None
    note, tag = picked
    above = ground.rng.choice(vocabulary.with_broader(tag.name)[1:])
    ground.page(note).swap(tag.line, f"#{tag.written}", f"#{above} #{tag.written}", tag.column)
    return _at(note)


def open_concept_in_closed_stances(ground: Ground) -> Planted | None:
    concepts = [concept.id for concept in ground.reading.vocabulary.concepts if concept.pairing == "open"]
    closed = [(note, tag) for note, tag in ground.tags() if note.pairing == "closed"]
    picked = _pick(ground, closed)
    if picked is None:
        return None
    note, tag = picked
    ground.page(note).swap(tag.line, f"#{tag.written}", f"#{ground.rng.choice(concepts)}", tag.column)
    return _at(note)


def lost_time(ground: Ground) -> Planted | None:
    coded = [n for n in ground.notes() if n.parent_line is None and (n.tags or n.fields != Fields())]
    note = _pick(ground, coded)
    if note is None:
        return None
    assert note.written_time
    ground.page(note).swap(note.line, f"{note.written_time} ", "")
    return _at(note)


def broken_condition(ground: Ground) -> Planted | None:
    """A label of another concept, or a broader concept among the related ones."""
    page = ground.pages["vocabulary.yaml"]
    vocabulary = ground.reading.vocabulary
    concept = ground.rng.choice(
        [one for one in vocabulary.concepts if ("vocabulary.yaml", one.line) not in ground.used]
    )
    stop = next((n for n in range(concept.line, len(page.lines)) if page.lines[n].lstrip().startswith("- id:")), None)
    lines = range(concept.line - 1, stop or len(page.lines))
    also = next((n for n in lines if page.lines[n].lstrip().startswith("also: [")), None)
    related = next((n for n in lines if page.lines[n].lstrip().startswith("related: [")), None)
    if related is not None and concept.broader and ground.rng.random() < 0.5:
        page.lines[related] = page.lines[related].replace("[", f"[{concept.broader[0]}, ")
    elif also is not None:
        other = ground.rng.choice([one for one in vocabulary.concepts if one.id != concept.id])
        page.lines[also] = page.lines[also].replace("[", f"[{other.label}, ")
    else:
        return None
    return Planted("vocabulary.yaml", 1, len(page.lines))


_DENIALS = (
    "{who} does not throw the {what} here.",
    "No {what} from {who} this time.",
    "{who} never gets to the {what}.",
    "{who} waits, and the {what} never comes.",
    "Still no {what}; {who} walks round.",
    "{who} refuses the {what}, though it was there.",
    "Everybody expects the {what}, and {who} does without it.",
    "{who} isn't interested in the {what} any more.",
    "A whole minute of {who} without a {what}.",
    "Nothing of the {what} that {who} showed before.",
    "{who} could have had the {what} and left it alone.",
    "Not one {what} from {who} in this spell.",
)


def denied(ground: Ground) -> Planted | None:
    by_id = ground.reading.vocabulary.by_id
    alone = [n for n in ground.notes(single_line=True) if len(n.tags) == 1 and n.tags[0].concept and n.fields.by]
    note = _pick(ground, alone)
    if note is None:
        return None
    concept = by_id[note.tags[0].name]
    what = ground.rng.choice([concept.label, concept.label, *concept.also[:1]])
    said = ground.rng.choice(_DENIALS).format(who=note.fields.by[0].capitalize(), what=what)
    page = ground.page(note)
    dash = page.lines[note.line - 1].split("-", 1)[0]
    page.lines[note.line - 1] = f"{dash}- {note.written_time} {said} #{concept.id} by:{note.fields.by[0]}"
    return _at(note)


def other_target(ground: Ground) -> Planted | None:
    picked = _pick(ground, [mark for mark in _marks(ground, _VALUE) if mark[2][1] == "target"])
    if picked is None:
        return None
    note, line, match = picked
    wrong = ground.rng.choice([target for target in ("head", "body", "legs") if target != match[2]])
    ground.page(note).swap(line, match[0], f"target:{wrong}", match.start() + 1)
    return _at(note)


def other_fighter(ground: Ground) -> Planted | None:
    """The opponent in `by:`, where one fighter acts in the whole note."""
    marks = [
        mark
        for mark in _marks(ground, re.compile(r"\bby:(\w+)"))
        if len(mark[0].fields.by) == 1 and not any(tag.own.by for tag in mark[0].tags)
    ]
    picked = _pick(ground, marks)
    if picked is None:
        return None
    note, line, match = picked
    bout = next(bout for bout in ground.reading.bouts if bout.id == note.bout)
    other = next(fighter.id for fighter in bout.fighters if fighter.id not in note.fields.by)
    ground.page(note).swap(line, match[0], f"by:{other}", match.start() + 1)
    return _at(note)


def other_outcome(ground: Ground) -> Planted | None:
    """Landed for blocked or missed, or the other way round."""
    turned = {"landed": "blocked", "hurt": "missed", "blocked": "landed", "missed": "landed", "ignored": "landed"}
    marks = [mark for mark in _marks(ground, _VALUE) if mark[2][2] in turned]
    picked = _pick(ground, marks)
    if picked is None:
        return None
    note, line, match = picked
    ground.page(note).swap(line, match[0], f"outcome:{turned[match[2]]}", match.start() + 1)
    return _at(note)


_SIDE = re.compile(r"\b(left|right)\b(?= (?:hand|hook|uppercut|straight|cross|jab)\b)|(?<=straight )(left|right)\b")


_ONE_HANDED = frozenset({
    "jab", "double-jab", "intercepting-jab", "body-jab", "cross", "body-cross", "overhand", "lead-hook", "check-hook",
    "over-the-top-counter",
})  # fmt: skip
"""Punches that one hand alone throws."""


def other_hand(ground: Ground) -> Planted | None:
    """Left for right in a note on one fighter's punch, or the inside step for the outside one."""
    hands = [
        (note, line, match[0], {"left": "right", "right": "left"}[match[0]], match.start())
        for note, line, match in _marks(ground, _SIDE)
        if any(tag.name in _ONE_HANDED for tag in note.tags)
        and len({who for tag in note.tags for who in (tag.own.by or note.fields.by)}) == 1
    ]
    steps = [
        (
            note,
            tag.line,
            f"#{tag.written}",
            f"#{'inside' if tag.name == 'outside-step' else 'outside'}-step",
            tag.column - 1,
        )
        for note, tag in ground.tags()
        if tag.name in ("outside-step", "inside-step")
    ]
    picked = _pick(ground, hands if ground.rng.random() < 0.5 else steps)
    if picked is None:
        return None
    note, line, old, new, column = picked
    ground.page(note).swap(line, old, new, column + 1)
    return _at(note)


def _without(ground: Ground, note: Segment, tag: Tag) -> Planted:
    line = ground.page(note).lines[tag.line - 1]
    own = re.match(r"\([^()]*\)", line[tag.column + len(tag.written) :])
    ground.page(note).swap(tag.line, f"#{tag.written}{own[0] if own else ''}", "", tag.column)
    return _at(note)


def _names(note: Segment, label: str) -> bool:
    """The label's content words stand in the note in their order, in any inflection, with at most one between."""
    wanted = [word.stem for word in words_of(label) if is_content(word.text)]
    said = [word.stem for word in words_of(note.text)]
    return bool(wanted) and bool(
        re.search(r"\b" + r"\b(?: \S+)? \b".join(map(re.escape, wanted)) + r"\b", " ".join(said))
    )


def named_and_not_tagged(ground: Ground) -> Planted | None:
    by_id = ground.reading.vocabulary.by_id
    naming = [
        (note, tag)
        for note, tag in ground.tags()
        if any(_names(note, label) for label in (by_id[tag.name].label, *by_id[tag.name].also))
    ]
    picked = _pick(ground, naming)
    return _without(ground, *picked) if picked else None


def not_tagged(ground: Ground) -> Planted | None:
    picked = _pick(ground, ground.tags())
    return _without(ground, *picked) if picked else None


_REWORDED = (
    (" the ", " "), (" and ", ", "), ("lands", "landed"), ("landed", "lands"), ("left hand", "left"), (". ", ", "),
    ("again", "once more"), ("straight", "direct"), (" a ", " the "),
)  # fmt: skip


def _reworded(text: str, rng: random.Random) -> str:
    changes = [(old, new) for old, new in _REWORDED if old in text]
    for old, new in rng.sample(changes, min(2, len(changes))):
        text = text.replace(old, new, 1)
    return text


def same_words_other_tag(ground: Ground) -> Planted | None:
    """What one bout's note says, said nearly so in another and tagged as something else."""
    alone = [
        n for n in ground.notes(single_line=True) if n.tags and all(t.concept for t in n.tags) and len(n.text) > 20
    ]
    one, other = _pick(ground, alone), _pick(ground, ground.notes(single_line=True))
    if one is None or other is None or one.file == other.file:
        return None
    text = _reworded(one.text, ground.rng)
    tag = ground.other_concept(one.tags[0].name)
    page = ground.page(other)
    dash = page.lines[other.line - 1].split("-", 1)[0]
    page.lines[other.line - 1] += f"\n{dash}- {other.written_time} {text} #{tag}"
    return _at(other)


_TURNS: tuple[Callable[[str], str], ...] = (
    lambda label: f"{label}s",
    lambda label: " ".join(reversed(label.split())),
    lambda label: label.replace("-", "").replace(" ", ""),
    lambda label: label.replace("ck", "k").replace("oo", "u").replace("ee", "ea").replace("ss", "s"),
    lambda label: f"{label.split()[0].removesuffix('e')}ing {' '.join(label.split()[1:])}".strip(),
)
_DEFINED_AGAIN = (
    ("The ", "A "), ("opponent", "other fighter"), ("punch", "blow"), ("so that", "so"), ("placed", "put"),
    ("on purpose", "deliberately"),
)  # fmt: skip


def near_duplicate_concept(ground: Ground) -> Planted | None:
    page = ground.pages["vocabulary.yaml"]
    vocabulary = ground.reading.vocabulary
    fresh = [c for c in vocabulary.concepts if c.broader and ("vocabulary.yaml", c.line) not in ground.used]
    concept = _pick(ground, fresh)
    if concept is None:
        return None
    label = ground.rng.choice(_TURNS)(concept.label)
    if vocabulary.resolve(label) or not label:
        label = f"{concept.label}s"
    meant = concept.definition
    for old, new in _DEFINED_AGAIN:
        meant = meant.replace(old, new)
    entry = (
        f'  - id: {as_tag(label)}-2\n    label: {label}\n    broader: {concept.broader[0]}\n    definition: "{meant}"\n'
    )
    page.lines[concept.line - 1] = f"{entry}{page.lines[concept.line - 1]}"
    ground.used.add(("vocabulary.yaml", concept.line))
    return Planted("vocabulary.yaml", concept.line, concept.line)


def two_concepts_in_one(ground: Ground) -> Planted | None:
    """All tags of one concept renamed to another, of which neither is above the other."""
    vocabulary = ground.reading.vocabulary
    counts = Counter(tag.name for _, tag in ground.tags())
    often = [name for name, count in counts.items() if count >= 8]
    kept = ground.rng.choice(often)
    away = {*vocabulary.with_broader(kept), *vocabulary.with_narrower(kept)}
    gone = ground.rng.choice([name for name in often if name not in away])
    for note, tag in ground.tags():
        if tag.name == gone:
            ground.page(note).lines[tag.line - 1] = re.sub(
                rf"#{tag.written}\b(?!-)", f"#{kept}", ground.page(note).lines[tag.line - 1]
            )
    line = vocabulary.by_id[kept].line
    return Planted("vocabulary.yaml", line, line)


KINDS = (
    Kind("misspelt tag", ("unknown-tag",), NO_JUDGEMENT, misspelt_tag),
    Kind("label for id", ("tag-form",), NO_JUDGEMENT, label_for_id),
    Kind("fighter of another bout", ("unknown-fighter",), NO_JUDGEMENT, foreign_fighter),
    Kind("unknown outcome or target", ("unknown-value",), NO_JUDGEMENT, unknown_value),
    Kind("time outside the rounds", ("outside-rounds", "impossible-time"), NO_JUDGEMENT, outside_the_rounds),
    Kind("line moved", ("out-of-order",), NO_JUDGEMENT, moved_line, batch=5),
    Kind("wrong round heading", ("heading-round",), NO_JUDGEMENT, wrong_heading),
    Kind("note written twice", ("duplicate-note",), NO_JUDGEMENT, written_twice),
    Kind("parent beside child", ("parent-and-child",), NO_JUDGEMENT, parent_beside_child),
    Kind("open concept, closed stances", ("pairing",), NO_JUDGEMENT, open_concept_in_closed_stances, batch=5),
    Kind("time lost", ("untimed-note",), NO_JUDGEMENT, lost_time),
    Kind("condition broken", ("vocabulary-condition",), NO_JUDGEMENT, broken_condition, batch=1),
    Kind("tag that the words deny", ("denied-tag",), JUDGEMENT, denied),
    Kind("other target", ("other-target",), JUDGEMENT, other_target, batch=4),
    Kind("other hand or side", ("other-side",), JUDGEMENT, other_hand, batch=5),
    Kind("named, not tagged", ("missing-tag",), JUDGEMENT, named_and_not_tagged, batch=5),
    Kind("same words, other tag", ("tagged-differently",), JUDGEMENT, same_words_other_tag, rebuild=True),
    Kind("near-duplicate concept", ("labels-alike", "concepts-alike"), JUDGEMENT, near_duplicate_concept, rebuild=True),
    Kind("moment written again", ("written-again", "duplicate-note"), None, written_again, rebuild=True),
    Kind("other fighter in by", ("other-field",), None, other_fighter),
    Kind("other outcome", ("other-field",), None, other_outcome),
    Kind("any tag left out", ("missing-tag", "tagged-differently"), None, not_tagged),
    Kind("two concepts in one", ("two-uses",), None, two_concepts_in_one, batch=1),
)
