"""What a text says was not done, or was only meant or expected.

Negation follows NegEx (Chapman, Bridewell, Hanbury, Cooper and Buchanan 2001): a cue reaches over the words
behind it until a word or mark that ends the clause, at most so many words; some phrases look like cues and
are none. The cues are those of English and of this trade; their list is our own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from fightnotes.language.words import words_of

Sense = Literal["negated", "reported"]
REACH = 7
"""Words that a cue covers (NegEx uses 5; speech about a fight puts more small words between)."""

_NEGATING = (
    r"\w+n['’]t", "isnt", "wasnt", "doesnt", "didnt", "dont", "wont", "cant", "cannot", "not", "never", "no", "without",
    "nobody", "no one", "none", "nothing", "neither", "nor", "hardly", "barely", r"too \w+ to",
    "refus(?:es?|ed|ing)(?: to)?", "fail(?:s|ed|ing)? to", "declin(?:es?|ed|ing)(?: to)?", "ignor(?:es?|ed|ing)",
    "stopp(?:s|ed|ing) short of", "instead of", "rather than",
)  # fmt: skip
_REPORTING = (
    "expect(?:s|ed|ing)?", "want(?:s|ed|ing)? to", "hop(?:es|ed|ing) (?:for|to)", "look(?:s|ed|ing)? (?:for|to)",
    "wait(?:s|ed|ing)? for", "threaten(?:s|ed|ing)? to", "pretend(?:s|ed|ing)? to", "plan(?:s|ned)? to", "meant to",
    "(?:would|could|should|might) have", "think(?:s|ing)? (?:of|about)", "thought (?:of|about)", "about to", "going to",
    "as if to",
)  # fmt: skip
_NO_CUE = (
    "not only", "not just", "not least", "no doubt", "without (?:a )?doubt", "no wonder", "no matter", "no sooner",
    "nothing but", "not for the (?:first|last) time",
)  # fmt: skip
_CLAUSE_END = re.compile(
    r"[.;:!?\n—]|,(?=\s)|\s[-–]\s|\b(?:but|however|although|though|because|until|except|then|so|while|which|who|before|after)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Span:
    """Offsets of the words that a cue covers, the cue among them."""

    begin: int
    stop: int
    cue: str
    sense: Sense


def _pattern(cues: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w'’])(?:{'|'.join(cues)})(?![\w'’])", re.IGNORECASE)


_CUES: tuple[tuple[Sense, re.Pattern[str]], ...] = (
    ("negated", _pattern(_NEGATING)),
    ("reported", _pattern(_REPORTING)),
)
_LOOKALIKES = _pattern(_NO_CUE)


def undone_spans(text: str) -> list[Span]:
    """The parts of a text that say what was not done (`negated`) or only meant or expected (`reported`), by place."""
    lookalikes = [match.span() for match in _LOOKALIKES.finditer(text)]
    spans = [
        _reach(text, match, sense)
        for sense, cues in _CUES
        for match in cues.finditer(text)
        if not any(begin <= match.start() < stop for begin, stop in lookalikes)
    ]
    return sorted(spans, key=lambda span: (span.begin, span.stop))


def negated_spans(text: str) -> list[Span]:
    return [span for span in undone_spans(text) if span.sense == "negated"]


def _reach(text: str, cue: re.Match[str], sense: Sense) -> Span:
    end = _CLAUSE_END.search(text, cue.end())
    limit = end.start() if end else len(text)
    covered = words_of(text[cue.end() : limit])[:REACH]
    stop = cue.end() + covered[-1].stop if covered else cue.end()
    return Span(cue.start(), stop, cue[0], sense)
