"""Fields suggested for notes, with probability and reasons: what the words tell, and what goes without saying."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from fightnotes.language import in_notes
from fightnotes.language.attribution import SaidAct
from fightnotes.language.fields_said import SaidField, fields_of
from fightnotes.language.hands import hands_said, puncher
from fightnotes.language.negation import spans_over
from fightnotes.language.note_reader import NoteReader
from fightnotes.language.people import find_people
from fightnotes.model import ACT_KEYS, OUTCOMES, Bout, Fields, Segment
from fightnotes.suggesting.outcome_evidence import NoteVectors, ToldOutcome
from fightnotes.suggesting.outcomes import OutcomeGuess, Outcomes, learn_outcomes
from fightnotes.suggesting.reliability import Reliability, ToldField, reliability_of
from fightnotes.suggesting.suggestion import Reasons, Suggestion
from fightnotes.suggesting.usage import Usage, Usual, UsualKey, usage_of

_HAND = 0.9
"""Of a fighter who is known by the hand alone."""
_DIVIDED = 0.5
"""What a probability is multiplied with where the tags are of things that different fighters do."""
_SEVERAL = 0.7
"""What that of an outcome is multiplied with where several things are tagged, of which each may have its own."""
_UNHEARD_OF = 0.65
"""The same where no other note has such an outcome with one of the tags."""
_LONG = 100
"""Characters of a note above which it says more than one thing."""
_SAYS_MORE = 0.8
_AT_ODDS = 0.7
"""The same where two tags usually have different values."""
_MOST_HELD_AGAINST = 500
"""Notes with fields by which the words of a library are judged; of more, some of all parts."""
_ENDED_A_SILENT = 3
"""Notes with an outcome for each without, at least, that are learned from: analysts leave outcomes out, and of notes
that were written to have all their fields one in four tells none."""
_MOSTLY = 0.5
_AT_ONCE = 4096


class FieldReasons(Reasons):
    words: tuple[str, ...] = ()
    """Words of the note that tell it."""
    hand: str = ""
    """The hand, with which only one fighter does what the tags say."""
    usual: Usual | None = None
    like: str = ""
    """The place of another note that is worded like it, where its words as a whole tell it."""

    @property
    def places(self) -> tuple[str, ...]:
        return (self.like,) if self.like else ()

    def __str__(self) -> str:
        parts = [f"says “{words}”" for words in self.words]
        parts += [f"the {self.hand} hand, by the stances"] if self.hand else []
        parts += [str(self.usual)] if self.usual else []
        parts += [f"worded like {self.like}"] if self.like else []
        return "; ".join(parts) or "its words as a whole"


class FieldSuggestion(Suggestion):
    field: Literal["by", "on", "target", "outcome"]
    value: str
    why: FieldReasons

    @property
    def name(self) -> str:
        return f"{self.field}:{self.value}"

    @property
    def mark(self) -> str:
        return self.name

    @property
    def asked_for(self) -> str:
        return self.field

    def instead(self, written: str) -> str:
        return f"{self.field}:{written.removeprefix(f'{self.field}:')}"

    def as_json(self) -> dict[str, Any]:
        return super().as_json() | {"field": self.field, "value": self.value}


@dataclass(frozen=True)
class _Guess:
    value: str
    probability: float
    why: FieldReasons


def suggest_fields(
    segments: Sequence[Segment],
    wanted: Iterable[Segment],
    bouts: Mapping[str, Bout],
    reader: NoteReader,
    threshold: float,
    vectors: NoteVectors | None = None,
) -> Iterator[FieldSuggestion]:
    """The fields that the `wanted` timed notes lack, learned from the tags and fields of all `segments`.

    A field that a note has, for itself or for one of its tags, is never suggested again. `vectors`, of the notes
    among both, are those of the default model; without them an outcome is told by words and tags alone.
    """
    usage = usage_of(segments, reader)
    reliability, outcomes = _learn(segments, reader, usage, vectors)
    notes = [note for note in _timed_notes(wanted) if not all(note.all_of(key) for key in ACT_KEYS)]
    for begin in range(0, len(notes), _AT_ONCE):
        read = [_read(note, reader, usage) for note in notes[begin : begin + _AT_ONCE]]
        for one, outcome in zip(read, outcomes.guesses([o.note for o in read], [o.told for o in read]), strict=True):
            for key, guess in _weighed(one, outcome, reliability):
                if guess.probability >= threshold:
                    yield _suggestion(one.note, bouts, key, guess, outcomes)


def told_outcomes(segments: Iterable[Segment], wanted: Iterable[Segment], reader: NoteReader) -> list[ToldOutcome]:
    """What is told of how each of the `wanted` notes came out, with the usage of the others."""
    usage = usage_of(segments, reader)
    return [_read(note, reader, usage).told for note in wanted]


def _suggestion(
    note: Segment, bouts: Mapping[str, Bout], key: Any, guess: _Guess, outcomes: Outcomes
) -> FieldSuggestion:
    why = guess.why if guess.why != FieldReasons() else FieldReasons(like=outcomes.like(note, guess.value))
    return FieldSuggestion(
        segment=note,
        bout=bouts[note.bout],
        field=key,
        value=guess.value,
        probability=round(guess.probability, 4),
        why=why,
    )


def _weighed(read: _NoteRead, outcome: OutcomeGuess, reliability: Reliability) -> Iterator[tuple[Any, _Guess]]:
    """What words tell, as probable as it is in this library; what goes without saying is a share of its notes.

    An outcome of a library's own is known by its words or usage alone.
    """
    for key in read.lacking:
        guess = read.guesses.get(key)
        if key == "outcome" and not (guess and guess.value not in OUTCOMES):
            yield key, _Guess(outcome.value, outcome.probability, _why(guess, outcome))
        elif guess and guess.why.words and key != "outcome":
            yield key, replace(guess, probability=reliability.probability(key, guess.probability))
        elif guess:
            yield key, guess


def _why(guess: _Guess | None, outcome: OutcomeGuess) -> FieldReasons:
    """What words or usage tell, where they tell this outcome, and usage mostly does."""
    if guess is None or guess.value != outcome.value or (guess.why.usual and guess.why.usual.share < _MOSTLY):
        return FieldReasons()
    return guess.why


def _learn(
    segments: Iterable[Segment], reader: NoteReader, usage: Usage, vectors: NoteVectors | None
) -> tuple[Reliability, Outcomes]:
    """From notes that have the fields, read as if they had none."""
    notes = _timed_notes(segments)
    with_fields = [note for note in notes if any(note.all_of(key) for key in ACT_KEYS)]
    read = [_read(note, reader, usage, bare=True) for note in _spread(with_fields, _MOST_HELD_AGAINST)]
    told = [
        ToldField(key, guess.probability, set(one.note.all_of(key)) == {guess.value})
        for one in read
        for key, guess in one.guesses.items()
        if guess.why.words and key != "outcome" and one.note.all_of(key)
    ]
    ended = [one for one in read if one.note.all_of("outcome")]
    without = [note for note in notes if not note.all_of("outcome")] if ended else []
    silent = _spread(without, len(ended) // _ENDED_A_SILENT or 1)
    of_silent = [_read(note, reader, usage, bare=True).told for note in silent]
    outcomes = learn_outcomes([one.note for one in ended], [one.told for one in ended], of_silent, vectors)
    return reliability_of(told), outcomes


def _timed_notes(segments: Iterable[Segment]) -> list[Segment]:
    return [segment for segment in segments if segment.kind == "note" and segment.timed]


def _spread(notes: Sequence[Segment], most: int) -> Sequence[Segment]:
    """At most so many of them, of all parts."""
    return notes[:: -(-len(notes) // most) or 1]


@dataclass(frozen=True)
class _NoteRead:
    """A note, and what its words and the library's usage tell of the fields that it lacks."""

    note: Segment
    lacking: tuple[str, ...]
    guesses: dict[str, _Guess]
    told: ToldOutcome


def _read(segment: Segment, reader: NoteReader, usage: Usage, *, bare: bool = False) -> _NoteRead:
    """`bare` reads a note as if it had no fields."""
    lacking = tuple(key for key in ACT_KEYS if bare or not segment.all_of(key))
    given = Fields() if bare else segment.fields
    acts, people = reader.acts(segment), reader.people(segment)
    said = {one.key: _from_words(one) for one in fields_of(segment.text, acts, people, given)}
    concepts = segment.tag_names or tuple(dict.fromkeys(name for act in acts for name in act.concepts))
    divided = len(concepts) > 1 and any(usage.stands_apart(concept) for concept in concepts)
    by = said.get("by") or _by_hand(segment, concepts, reader) or _usual(segment, concepts, "by", usage)
    if by and "on" not in said:
        acted = {one.key: one for one in fields_of(segment.text, acts, people, Fields(by=(by.value,)))}.get("on")
        said |= {"on": _Guess(acted.value, by.probability, FieldReasons(words=acted.words))} if acted else {}
    opponent = people.opponent(by.value) if by else None
    silent = not any(act.outcomes for act in acts)
    thrown = not _denies_a_blow(segment.text)
    found = {
        "by": by,
        "on": _on(said.get("on"), by, () if any(act.on for act in acts) else concepts, usage, opponent),
        "target": said.get("target") or (_usual(segment, concepts, "target", usage) if thrown else None),
        "outcome": said.get("outcome") or (_unsaid(segment, concepts, usage) if silent else None),
    }
    guesses: dict[str, _Guess] = {}
    for key in lacking:
        guess = found[key]
        if guess:
            share = _DIVIDED if divided and key != "target" else 1.0
            share *= _UNHEARD_OF if key == "outcome" and _is_unheard_of(guess, concepts, usage) else 1.0
            share *= _SEVERAL if key == "outcome" and len(concepts) > 1 else 1.0
            guesses[key] = _Guess(guess.value, guess.probability * share, guess.why)
    actor = given.by[0] if len(given.by) == 1 else by.value if by and not given.by else None
    return _NoteRead(segment, lacking, guesses, _told(segment, guesses.get("outcome"), acts, actor))


def _told(segment: Segment, guess: _Guess | None, acts: tuple[SaidAct, ...], actor: str | None) -> ToldOutcome:
    return ToldOutcome(
        text=segment.text,
        value=guess.value if guess else "",
        probability=guess.probability if guess else 0.0,
        in_words=bool(guess and guess.why.words),
        acts=acts,
        actor=actor,
        tags=len(segment.tags),
    )


def _is_unheard_of(guess: _Guess, concepts: Sequence[str], usage: Usage) -> bool:
    """Whether what is tagged never came out so: then the words may tell of what the other did."""
    return bool(concepts) and all(usage.never_comes_out(concept, guess.value) for concept in concepts)


def _denies_a_blow(text: str) -> bool:
    return any(any(spans_over(text, *match.span())) for match in in_notes.PUNCHES.finditer(text))


def _from_words(said: SaidField) -> _Guess:
    return _Guess(said.value, said.probability, FieldReasons(words=said.words))


def _by_hand(segment: Segment, concepts: Iterable[str], reader: NoteReader) -> _Guess | None:
    """Where nobody is named, the one whose hand it is: a cross with the left is the southpaw's."""
    people, hands = reader.people(segment), hands_said(segment.text)
    if len(hands) != 1 or find_people(segment.text, people):
        return None
    known = reader.vocabulary.by_id
    hand = hands.pop()
    fighter = puncher(hand, [known[concept] for concept in concepts if concept in known], people)
    return _Guess(fighter, _HAND, FieldReasons(hand=hand)) if fighter else None


def _on(
    said: _Guess | None, by: _Guess | None, concepts: Iterable[str], usage: Usage, opponent: str | None
) -> _Guess | None:
    """The opponent of who acts, where the words or the library's notes have it that it is done to one."""
    done_to_one = {usage.is_done_to_one(concept) for concept in concepts} - {None}
    if done_to_one == {False}:
        return None
    return said or (_Guess(opponent, by.probability, by.why) if by and opponent and True in done_to_one else None)


def _unsaid(segment: Segment, concepts: Iterable[str], usage: Usage) -> _Guess | None:
    """How it mostly comes out; the more a note says of other things, the less goes without saying."""
    guess = _usual(segment, concepts, "outcome", usage)
    if guess and (len(segment.text) > _LONG or in_notes.DEFENCES.search(segment.text)):
        return replace(guess, probability=guess.probability * _SAYS_MORE)
    return guess


def _usual(segment: Segment, concepts: Iterable[str], key: UsualKey, usage: Usage) -> _Guess | None:
    """The value that the concepts mostly have in the library."""
    found = [each for each in (usage.usual(concept, key, segment) for concept in concepts) if each]
    if not found:
        return None
    best = max(found, key=lambda each: each.share)
    agree = all(each.value == best.value for each in found)
    return _Guess(best.value, best.share * (1.0 if agree else _AT_ODDS), FieldReasons(usual=best))
