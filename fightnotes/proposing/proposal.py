"""What is proposed for the vocabulary."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Literal

from fightnotes.clock import format_media_time
from fightnotes.model import Bout, Record, Segment
from fightnotes.reading.placing import show_clock

ProposalKind = Literal["concept", "label", "misheard"]


class Example(Record):
    """A moment where the words stand."""

    file: str
    line: int
    bout: str
    timed_on: str
    start: Fraction | None
    """Seconds of the recording `timed_on`."""
    round: int | None
    round_clock: str | None
    text: str

    @property
    def moment(self) -> str:
        """Round and round clock, media time, or both."""
        clock = f"R{self.round} {self.round_clock}" if self.round and self.round_clock else ""
        media = format_media_time(self.start, 0) if self.start is not None else ""
        recording = "" if self.timed_on == "footage" or not media else f" of {self.timed_on}"
        return ", ".join(filter(None, (clock, f"{media}{recording}"))) or "untimed"


class Proposal(Record):
    term: str
    """The words as they mostly stand, in lower case; they name the proposal."""
    kind: ProposalKind
    concept: str | None
    """The broader concept of a new one, or the one whose label it is; None for a new one at the top."""
    trade_word: str | None = None
    """In place of a concept, the trade word that was misheard."""
    uses: int
    segments: int
    """In how many moments they stand."""
    c_value: float | None = None
    tightness: float | None = None
    """Mean cosine of the moments' vectors to their centroid."""
    near: float | None = None
    """Of a misheard form: how near it is to the label in spelling and sound, 0 to 1."""
    weight: float
    """What they are ranked by."""
    why: str
    examples: tuple[Example, ...]

    @property
    def asks(self) -> str:
        """What applying it would do, in words."""
        if self.kind == "concept":
            return f"new concept under {self.concept}" if self.concept else "new concept"
        return f"{'another label' if self.kind == 'label' else 'a misheard form'} of {self.concept or self.trade_word}"

    def as_json(self) -> dict[str, Any]:
        """Plain values: times as seconds."""
        plain = self.model_dump(mode="json")
        for example, standing in zip(plain["examples"], self.examples, strict=True):
            example["start"] = None if standing.start is None else round(float(standing.start), 6)
        return plain


def example_of(segment: Segment, bout: Bout | None) -> Example:
    return Example(
        file=segment.file,
        line=segment.line,
        bout=bout.id if bout else segment.bout,
        timed_on=segment.timed_on,
        start=segment.start,
        round=segment.round,
        round_clock=show_clock(_rounded(segment.clock_start), None),
        text=" ".join(segment.text.split()),
    )


def _rounded(seconds: Fraction | None) -> Fraction | None:
    return None if seconds is None else Fraction(round(seconds * 100), 100)
