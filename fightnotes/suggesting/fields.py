"""Fields suggested for notes, with probability and reasons: what the words tell, and what goes without saying."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from fightnotes.language import in_notes
from fightnotes.language.fields_said import SaidField, fields_of
from fightnotes.language.hands import hands_said, puncher
from fightnotes.language.negation import spans_over
from fightnotes.language.note_reader import NoteReader
from fightnotes.language.people import find_people
from fightnotes.model import ACT_KEYS, Bout, Fields, Segment
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


class FieldReasons(Reasons):
    words: tuple[str, ...] = ()
    """Words of the note that tell it."""
    hand: str = ""
    """The hand, with which only one fighter does what the tags say."""
    usual: Usual | None = None

    def __str__(self) -> str:
        parts = [f"says “{words}”" for words in self.words]
        parts += [f"the {self.hand} hand, by the stances"] if self.hand else []
        parts += [str(self.usual)] if self.usual else []
        return "; ".join(parts)


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
) -> list[FieldSuggestion]:
    """The fields that the `wanted` timed notes lack, learned from the tags and fields of all `segments`.

    A field that a note has, for itself or for one of its tags, is never suggested again.
    """
    usage = usage_of(segments, reader)
    reliability = reliability_of(list(_told(segments, reader, usage)))
    return [
        FieldSuggestion(
            segment=segment,
            bout=bouts[segment.bout],
            field=key,
            value=guess.value,
            probability=round(guess.probability, 4),
            why=guess.why,
        )
        for segment in wanted
        if segment.kind == "note" and segment.timed
        for key, guess in _agreed(_guesses(segment, reader, usage), reliability)
        if guess.probability >= threshold
    ]


def _agreed(guesses: Iterable[tuple[Any, _Guess]], reliability: Reliability) -> Iterator[tuple[Any, _Guess]]:
    """What words tell, as probable as it is in this library; what goes without saying is a share of its notes."""
    for key, guess in guesses:
        sure = reliability.probability(key, guess.value, guess.probability) if guess.why.words else guess.probability
        yield key, replace(guess, probability=sure)


def _told(segments: Iterable[Segment], reader: NoteReader, usage: Usage) -> Iterator[ToldField]:
    """What the words of notes tell that have the fields, read as if they had none."""
    notes = [each for each in segments if each.kind == "note" and any(each.all_of(key) for key in ACT_KEYS)]
    for note in notes[:: -(-len(notes) // _MOST_HELD_AGAINST) or 1]:
        tags = tuple(tag.model_copy(update={"own": Fields()}) for tag in note.tags)
        for key, guess in _guesses(note.model_copy(update={"fields": Fields(), "tags": tags}), reader, usage):
            if guess.why.words and note.all_of(key):
                yield ToldField(key, guess.value, guess.probability, set(note.all_of(key)) == {guess.value})


def _guesses(segment: Segment, reader: NoteReader, usage: Usage) -> Iterator[tuple[Any, _Guess]]:
    lacking = [key for key in ACT_KEYS if not segment.all_of(key)]
    if not lacking:
        return
    acts, people = reader.acts(segment), reader.people(segment)
    said = {one.key: _from_words(one) for one in fields_of(segment.text, acts, people, segment.fields)}
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
    for key in lacking:
        guess = found[key]
        if guess:
            share = _DIVIDED if divided and key != "target" else 1.0
            share *= _UNHEARD_OF if key == "outcome" and _is_unheard_of(guess, concepts, usage) else 1.0
            share *= _SEVERAL if key == "outcome" and len(concepts) > 1 else 1.0
            yield key, _Guess(guess.value, guess.probability * share, guess.why)


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
