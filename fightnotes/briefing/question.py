"""A question of an audience, read as data: what it claims, of which concept, by whom, against whom, in which bout."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fightnotes.language.labels import LabelFinder, find_labels
from fightnotes.language.names import NameIndex, find_names
from fightnotes.language.questions import ClaimAsked, Span, cost_spans, merged, pronoun_of, read_claim
from fightnotes.language.roles import roles_of
from fightnotes.language.words import is_content, lies_in, words_of
from fightnotes.model import Bout


@dataclass(frozen=True)
class QuestionAsked:
    text: str
    """As typed."""
    asked: ClaimAsked
    concepts: tuple[str, ...] = ()
    """Those with a label in it, in order of place, each once."""
    labels: tuple[str, ...] = ()
    """The words that name them."""
    by: tuple[str, ...] = ()
    """Fighters who act; of one who does it more, all that are named."""
    against: tuple[str, ...] = ()
    pronoun: str | None = None
    """A word for a fighter where nobody who acts is named."""
    bouts: tuple[str, ...] = ()
    """Ids of the bouts whose id or title it says."""
    rest: str = ""
    """What is left beside names, labels and the words of the claim: what may name a concept by its meaning."""

    def as_json(self) -> dict[str, Any]:
        """Plain values."""
        return {
            "claim": self.asked.claim,
            "of": self.asked.of,
            "concepts": list(self.concepts),
            "by": list(self.by),
            "against": list(self.against),
            "pronoun": self.pronoun,
            "bouts": list(self.bouts),
            "rounds": list(self.asked.rounds) if self.asked.rounds else None,
            "over": "day" if self.asked.over_days else "round",
        }


def read_question(text: str, names: NameIndex, labels: LabelFinder, bouts: Mapping[str, Bout]) -> QuestionAsked:
    """Never refuses: any string is a question, if only one that asks none of what can be answered."""
    in_bouts, titles = _bouts(text, bouts)
    costs = sorted(cost_spans(text))
    people = [place for place in find_names(text, names) if not lies_in(titles, place.begin)]
    taken = merged([*costs, *((place.begin, place.stop) for place in people)])
    mentions = [one for one in find_labels(text, labels) if one.concept and not lies_in(taken, one.begin)]
    spans = merged([*((one.begin, one.stop) for one in people), *((one.begin, one.stop) for one in mentions), *titles])
    roles = roles_of(people, text)
    claim = read_claim(text, spans, len({place.fighter for place in people}))
    together = claim.claim == "who does it more"
    by = dict.fromkeys(place.fighter for place, role in zip(people, roles, strict=True) if together or role == "acts")
    against = dict.fromkeys(place.fighter for place in people if place.fighter not in by)
    first: dict[str, str] = {}
    for one in mentions:
        first.setdefault(one.concept, one.written)
    return QuestionAsked(
        text=text,
        asked=claim,
        concepts=tuple(first),
        labels=tuple(first.values()),
        by=tuple(by),
        against=tuple(against),
        pronoun=None if by else pronoun_of(text),
        bouts=in_bouts,
        rest=_without(text, [*spans, *claim.spans]),
    )


def _bouts(text: str, bouts: Mapping[str, Bout]) -> tuple[tuple[str, ...], list[Span]]:
    """Bouts whose id or title stands in the text, the longest form first, and where."""
    lowered = text.casefold()
    if len(lowered) != len(text):  # a letter that folds to two: places would not be those of the text
        lowered = text.lower() if len(text.lower()) == len(text) else text
    forms: dict[str, list[str]] = {}
    for bout in bouts.values():
        for form in (bout.id, bout.title):
            if any(sign in form for sign in " -"):  # one word alone may be anything
                forms.setdefault(form.casefold(), []).append(bout.id)
    found: dict[str, None] = {}
    spans: list[Span] = []
    for form in sorted(forms, key=len, reverse=True):
        begin = lowered.find(form)
        if begin >= 0 and not any(start < begin + len(form) and begin < stop for start, stop in spans):
            spans.append((begin, begin + len(form)))
            found |= dict.fromkeys(forms[form])
    return tuple(found), sorted(spans)


def _without(text: str, spans: list[Span]) -> str:
    """The words outside some spans, those that carry no content left off at both ends."""
    told = merged(spans)
    words = [word for word in words_of(text) if not lies_in(told, word.begin)]
    content = [place for place, word in enumerate(words) if is_content(word.text)]
    return " ".join(word.text for word in words[content[0] : content[-1] + 1]) if content else ""
