"""Who did what in a text, clause by clause, as far as its words tell.

Whoever the words do not tell is not guessed: a clause may have an outcome and nobody who acts. The rules are our own,
for notes ("Corvale foot outside, left hand, blocked") and for running speech.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from fightnotes.language import in_notes, spoken
from fightnotes.language.clauses import Clause, clauses_of
from fightnotes.language.hands import power_hand
from fightnotes.language.labels import LabelFinder, find_labels
from fightnotes.language.names import NamePlace
from fightnotes.language.parts import OF_THE_OTHER, Named, Part, Way, part_of
from fightnotes.language.people import People, find_people
from fightnotes.language.pronouns import Pronoun, pronouns_of
from fightnotes.language.results import Result, outcomes_said, targets_said
from fightnotes.language.words import words_of

_T = TypeVar("_T")
_PATIENTS = frozenset(("hurt", "knockdown", "ignored"))
"""Outcomes that are told of the one who is acted on: Corvale is down."""
_TOLD_OFF = frozenset(("warning", "foul"))
"""Outcomes that are told of the one who acted, whatever the voice: Corvale is warned."""
_CULPRIT: Part = ("by", "inside")
_OBJECT = 12
"""Characters behind a verb within which the one stands to whom it is done."""
_AROUND = 200
"""Characters before and behind a name that tell of its part."""


@dataclass(frozen=True)
class Person:
    """A fighter, with the words of the text that tell of the part that he or she has."""

    fighter: str
    way: Way
    begin: int
    stop: int
    pronoun: bool = False
    """Whether a pronoun stands for the name."""
    from_before: bool = False
    """Whether it is known from before the text alone whom it stands for."""
    led_up_to: bool = False
    """Whether clauses stand before that tell of something done and not by whom, or that he stands by: in notes it is
    then often another who does."""


@dataclass(frozen=True)
class SaidAct:
    """What one clause tells; `acts_said` makes them."""

    clause: Clause
    by: Person | None = None
    on: Person | None = None
    """Only who is told to be acted on: the opponent of who acts need not be."""
    targets: tuple[Result, ...] = ()
    outcomes: tuple[Result, ...] = ()
    concepts: tuple[str, ...] = ()
    """Ids of those whose labels it says, and neither denies nor only expects."""
    attacks: bool = False
    """Whether it names a blow, or a verb of striking."""
    aside: bool = False
    """Whether a word opens it that makes it the setting of another: while Corvale waits."""

    @property
    def tells(self) -> bool:
        return bool(self.by or self.on or self.targets or self.outcomes or self.concepts)


@dataclass
class _Talk:
    """What was said so far."""

    topic: str | None = None
    """Who was spoken of last."""
    from_before: bool = False
    """Whether that was before the text."""
    last: SaidAct | None = None
    """The clause in which somebody acted last."""
    attacker: str | None = None
    """Who struck last; None where a blow was told of since, and not whose."""
    before: bool = False
    """Whether a clause told of nobody who acts."""
    unknown: bool = False
    """Whether one told of something done, and not by whom."""
    idler: str | None = None
    """Of whom the clause before told that he stands by, or wants something: what follows without a name he does."""
    struck: int | None = None
    """Number of the sentence, where the clause before told of one who was struck: Rocked!"""

    @property
    def actor(self) -> Person | None:
        return self.last.by if self.last else None

    def hears(self, act: SaidAct, text: str, named: Sequence[Named], people: People) -> None:
        if act.by and (act.by.way != "carried" or act.attacks):
            self.last = act
        if act.by and (act.attacks or act.by.way in OF_THE_OTHER):
            self.attacker = act.by.fighter
        elif act.attacks:
            self.attacker = None
        if not act.by:
            self.before = True
            self.unknown = self.unknown or act.attacks or bool(act.concepts)
        if named and in_notes.PARTICIPIAL.match(text, act.clause.begin, act.clause.stop) and not act.by:
            self.topic, self.from_before = people.opponent(named[0].fighter), False
        elif named:
            self.topic, self.from_before = named[0].fighter, named[0].from_before
        elif act.by and act.by.way in ("hand", "answered"):
            self.topic, self.from_before = act.by.fighter, False
        idles = len(named) == 1 and not named[0].owns and _idles(named[0])
        self.idler = named[0].fighter if idles else None
        struck = not named and in_notes.STRUCK.match(text, act.clause.begin, act.clause.stop)
        self.struck = act.clause.sentence if struck else None


def _idles(one: Named) -> bool:
    return in_notes.IDLES.match(one.behind) is not None and not spoken.PASSIVE.match(one.behind)


def acts_said(text: str, people: People, labels: LabelFinder, topic: str | None = None) -> tuple[SaidAct, ...]:
    """What each clause tells, in order; one that tells nothing of this kind is left out.

    `topic` is the fighter who was spoken of before the text: a pronoun may go on with him or her.
    """
    clauses = clauses_of(text)
    places = find_people(text, people)
    named = _by_clause(clauses, places, lambda one: one.begin)
    pronouns = _by_clause(clauses, pronouns_of(text), lambda one: one.begin)
    targets = _by_clause(clauses, targets_said(text), lambda one: one.begin)
    outcomes = _by_clause(clauses, outcomes_said(text), lambda one: one.begin)
    done = (one for one in find_labels(text, labels) if one.concept and not one.undone)
    mentions = _by_clause(clauses, done, lambda one: one.begin)
    acts: list[SaidAct] = []
    talk = _Talk(topic, from_before=topic is not None)
    for number, clause in enumerate(clauses):
        act = SaidAct(
            clause,
            targets=tuple(targets[number]),
            outcomes=tuple(outcomes[number]),
            concepts=tuple(dict.fromkeys(one.concept for one in mentions[number])),
            attacks=_attacks(text, clause),
            aside=in_notes.SETTING.match(text, clause.begin, clause.stop) is not None,
        )
        here = [_named(text, clause, place) for place in named[number]]
        here = sorted((*here, *_by_pronoun(text, act, here, pronouns[number], people, talk)), key=lambda one: one.begin)
        act = (
            _with_people(act, text, here, people, talk) if here else _unnamed(act, text, pronouns[number], people, talk)
        )
        act = _done_to(act, pronouns[number], people)
        talk.hears(act, text, here, people)
        if act.tells:
            acts.append(act)
    return tuple(acts)


def _by_clause(clauses: Sequence[Clause], found: Iterable[_T], begin: Callable[[_T], int]) -> list[list[_T]]:
    """What begins in each clause."""
    begins = [clause.begin for clause in clauses]
    inside: list[list[_T]] = [[] for _ in clauses]
    for one in found:
        number = bisect_right(begins, begin(one)) - 1
        if number >= 0 and begin(one) in clauses[number]:
            inside[number].append(one)
    return inside


def _attacks(text: str, clause: Clause) -> bool:
    patterns = (in_notes.PUNCHES, in_notes.STRIKING, in_notes.A_HAND)
    return any(pattern.search(text, clause.begin, clause.stop) for pattern in patterns)


def _named(text: str, clause: Clause, place: NamePlace) -> Named:
    owns = text[place.begin : place.stop].endswith(spoken.POSSESSIVE)
    return _at(text, clause, place.fighter, (place.begin, place.stop), owns)


def _at(
    text: str,
    clause: Clause,
    fighter: str,
    place: tuple[int, int],
    owns: bool,
    *,
    pronoun: bool = False,
) -> Named:
    begin, stop = place
    before = words_of(text[max(clause.begin, begin - _AROUND) : begin])
    return Named(
        fighter,
        begin,
        stop,
        [word._replace(text=word.text.casefold()) for word in before],
        text[stop : min(clause.stop, stop + _AROUND)],
        owns,
        pronoun,
    )


def _by_pronoun(
    text: str, act: SaidAct, named: Sequence[Named], pronouns: Sequence[Pronoun], people: People, talk: _Talk
) -> Iterator[Named]:
    """Those for whom a pronoun stands that is the subject of its clause, or that owns the subject."""
    for pronoun in pronouns:
        place = pronoun.begin, pronoun.stop
        first = named[0].fighter if named and named[0].begin < pronoun.begin else None
        if pronoun.case == "other":
            fighter = people.opponent(first or talk.topic or "")
            owns = text[slice(*place)].endswith(spoken.POSSESSIVE)
            if fighter:
                yield _at(text, act.clause, fighter, place, owns, pronoun=True)
        elif pronoun.case == "subject" or (pronoun.case == "owner" and not first and _opens(text, act.clause, pronoun)):
            one = _at(text, act.clause, "", place, pronoun.case == "owner", pronoun=True)
            fighter = _meant(one, act, text, people, talk)
            if fighter:
                yield replace(one, fighter=fighter, from_before=talk.from_before and fighter == talk.topic)
            return


def _opens(text: str, clause: Clause, pronoun: Pronoun) -> bool:
    if pronoun.begin - clause.begin > _AROUND:
        return False
    return all(
        word.text.casefold() in in_notes.BEFORE_SUBJECTS for word in words_of(text[clause.begin : pronoun.begin])
    )


def _meant(pronoun: Named, act: SaidAct, text: str, people: People, talk: _Talk) -> str | None:
    """Who "she" is: the one who was spoken of last; where something becomes of her, the one who was hit."""
    part, way = part_of(pronoun, pronoun.begin <= _last_patient(act, text, ()))
    if talk.attacker and any(each.value == "ignored" for each in act.outcomes):
        return talk.attacker
    if part == "on" and way != "idles" and talk.last and (talk.attacker or talk.unknown):
        return people.opponent(talk.attacker) if talk.attacker else None
    return talk.topic


def _last_patient(act: SaidAct, text: str, named: Sequence[Named]) -> int:
    """Before which offset one stands of whom something becomes, and who does not do it to another."""
    begins = [one.begin for one in named]
    told = [
        each.begin
        for each in act.outcomes
        if each.value in _PATIENTS
        and not in_notes.ON_ANOTHER.search(text, each.begin, each.stop)
        and bisect_right(begins, each.stop) == bisect_right(begins, each.stop + _OBJECT)
    ]
    return max(told, default=-1)


def _with_people(act: SaidAct, text: str, named: Sequence[Named], people: People, talk: _Talk) -> SaidAct:
    by, on = None, None
    told_off = bool(act.outcomes) and {each.value for each in act.outcomes} <= _TOLD_OFF
    patient = _last_patient(act, text, named)
    for one in _in_order(named):
        part, way = _CULPRIT if told_off else _part(act, text, one, one.begin <= patient, talk)
        person = Person(one.fighter, way, one.begin, one.stop, one.pronoun, one.from_before)
        by = person if part == "by" and by is None else by
        on = person if part == "on" and on is None else on
    if by and on and by.fighter == on.fighter:
        on = None
    if by is None and on is not None:
        opponent = people.opponent(on.fighter)
        by = replace(on, fighter=opponent) if opponent else None
    if by and by.way == "idles" and not talk.before:
        return act
    return replace(act, by=replace(by, led_up_to=talk.unknown) if by else None, on=on)


def _in_order(named: Sequence[Named]) -> Iterator[Named]:
    """Each behind one who is the subject stands as one who is acted on."""
    subject = False
    for one in named:
        yield replace(one, acted_on=subject)
        subject = subject or not one.owns


def _part(act: SaidAct, text: str, one: Named, patient: bool, talk: _Talk) -> Part:
    alone = not one.owns and not one.pronoun and _stands_alone(act.clause, text, one)
    struck = talk.struck is not None and (alone or talk.struck == act.clause.sentence) and not one.acted_on
    if struck or alone:
        return ("on", "passive") if struck else ("by", "beside")
    if in_notes.PARTICIPIAL.match(text, act.clause.begin, one.begin):
        return "none", "inside"
    return part_of(one, patient)


def _stands_alone(clause: Clause, text: str, one: Named) -> bool:
    if clause.stop - clause.begin > _AROUND:
        return False
    around = text[clause.begin : one.begin] + " " + text[one.stop : clause.stop]
    return all(word.text.casefold() in in_notes.BESIDE for word in words_of(around))


def _unnamed(act: SaidAct, text: str, pronouns: Sequence[Pronoun], people: People, talk: _Talk) -> SaidAct:
    """A clause that names nobody: the one whose hand it is, or who acted before."""
    told = _told(text, act.clause)
    if in_notes.OFFICIAL.match(told):
        return act
    last = talk.actor
    hand = power_hand(told, people) if act.attacks else None
    if hand and (last is None or hand == last.fighter or in_notes.BLOW_FIRST.match(told)):
        return replace(act, by=Person(hand, "hand", act.clause.begin, act.clause.stop))
    if any(one.case == "subject" for one in pronouns):
        return act
    begin = act.clause.begin
    if talk.idler and (in_notes.STRIKING.match(told) or in_notes.ACTION.match(told)):
        return replace(act, by=Person(talk.idler, "carried", begin, begin, led_up_to=True))
    if last is None:
        return act
    return _taken_over(act, told, last, pronouns, people, talk)


def _taken_over(
    act: SaidAct, told: str, last: Person, pronouns: Sequence[Pronoun], people: People, talk: _Talk
) -> SaidAct:
    """The one who acted before, where nothing says that it is the other."""
    opponent = people.opponent(last.fighter)
    if _is_answer(act, told, pronouns, talk):
        return replace(act, by=replace(last, fighter=opponent, way="answered") if opponent else None)
    if last.way in OF_THE_OTHER and not (in_notes.COMMENT.match(told) or in_notes.BLOW_FIRST.match(told)):
        return act
    if spoken.PASSIVE.match(told) or in_notes.RECEIVES.match(told) or in_notes.STRUCK_BY.match(told):
        return replace(act, by=replace(last, fighter=opponent, way="passive") if opponent else None)
    return replace(act, by=replace(last, way="carried"))


def _is_answer(act: SaidAct, told: str, pronouns: Sequence[Pronoun], talk: _Talk) -> bool:
    """Whether the blow of a clause meets the one who was told of: "as Corvale bends, the knee meets her face"."""
    if not in_notes.BLOW_FIRST.match(told) or talk.last is None:
        return False
    if in_notes.ANSWERS.match(told):
        return talk.last.attacks
    return bool(pronouns) and not talk.last.attacks


def _told(text: str, clause: Clause) -> str:
    """The clause from the first word that tells something."""
    said = text[clause.begin : clause.stop]
    words = [word for word in words_of(said) if word.text.casefold() not in in_notes.BEFORE_SUBJECTS]
    return said[words[0].begin :] if words else ""


def _done_to(act: SaidAct, pronouns: Sequence[Pronoun], people: People) -> SaidAct:
    """Hits her: the opponent of who acts."""
    if act.on or not act.by or not any(one.case == "object" for one in pronouns):
        return act
    opponent = people.opponent(act.by.fighter)
    return replace(act, on=replace(act.by, fighter=opponent, pronoun=True) if opponent else None)
