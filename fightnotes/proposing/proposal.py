"""What is proposed for the vocabulary."""

from __future__ import annotations

from typing import Any, Literal

from fightnotes.model import Moment, Record

ProposalKind = Literal["concept", "label", "misheard"]
SeenAs = Literal["tag", "word", "phrase", "speech"]


class Proposal(Record):
    term: str
    """The words as they mostly stand, in lower case; they name the proposal."""
    kind: ProposalKind
    seen_as: SeenAs
    """As a tag that somebody typed, as one word or as several in the prose, or as what a recogniser made of speech."""
    concept: str | None
    """The broader concept of a new one, or the one whose label it is; None for a new one at the top."""
    also: tuple[str, ...] = ()
    """Other spellings, which become labels with the term, so that tags written with them name the concept."""
    trade_word: str | None = None
    """In place of a concept, the trade word that was misheard."""
    fighter: str | None = None
    """In place of a concept, the id of the fighter whose name was misheard."""
    bouts: tuple[str, ...] = ()
    """Of a misheard name, the bouts in whose transcripts it stands."""
    sure: bool = False
    """Of a misheard form, whether a build puts it right without asking."""
    uses: int
    segments: int
    """In how many moments they stand."""
    c_value: float | None = None
    tightness: float | None = None
    """Mean cosine of the moments' vectors to their centroid."""
    score: float | None = None
    """Of a misheard form: how surely it is one, 0 to 1."""
    weight: float
    """What they are ranked by."""
    why: str
    examples: tuple[Moment, ...]
    """Moments where the words stand."""

    @property
    def asks(self) -> str:
        """What applying it would do, in words."""
        if self.kind == "concept":
            return f"new concept under {self.concept}" if self.concept else "new concept"
        of = self.concept or self.trade_word or self.fighter
        return f"{'another label' if self.kind == 'label' else 'a misheard form'} of {of}"

    @property
    def asked_for(self) -> str:
        """What a person gives who wants it to be of another."""
        return "concept or fighter" if self.kind == "misheard" else "concept"

    def as_json(self) -> dict[str, Any]:
        """Plain values, the examples as moments."""
        plain = self.model_dump(mode="json", exclude={"examples"})
        return plain | {"examples": [example.as_json() for example in self.examples]}
