"""What the agreement report holds."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from fightnotes.model import Record


class Agreement(Record):
    """A coefficient with its 95 % interval, or the reason why there is no interval, or no value either."""

    value: float | None = None
    """1 is full agreement; for kappa and alpha 0 is what chance gives, and less than 0 is possible."""
    low: float | None = None
    high: float | None = None
    count: int
    """How many pairs, moments or boundaries it rests on."""
    reason: str | None = None
    """Why there is no value, or no interval."""

    @model_validator(mode="after")
    def _value_or_reason(self) -> Self:
        if (self.low is None) != (self.high is None) or (self.value is None and self.low is not None):
            raise ValueError("an interval has two ends and a value inside")
        if (self.low is None) != (self.reason is not None):
            raise ValueError("an agreement has a value with its interval, or a reason")
        return self

    def __str__(self) -> str:
        if self.value is None:
            return f"no value: {self.reason}"
        if self.low is None or self.high is None:
            return f"{self.value:.2f}, {self.reason}"
        return f"{self.value:.2f} ({self.low:.2f} to {self.high:.2f})"


class Noted(Record):
    """One analyst's segment, and where it stands."""

    analyst: str
    file: str
    line: int
    written_time: str
    text: str
    tags: tuple[str, ...]
    """Concept ids in order; a tag that the vocabulary does not know as it is written."""


class Disagreement(Record):
    """A moment that two analysts noted and tagged differently."""

    bout: str
    round: int | None
    distance: float
    """MASI distance of the two tag sets, above 0 and at most 1."""
    first: Noted
    second: Noted


class ConceptAgreement(Record):
    """How far analysts agree on one concept."""

    concept: str
    label: str
    both: int
    """Moments that all who noted them tagged with it."""
    some: int
    """Moments that only some of them tagged with it."""
    agreement: Agreement
    """Cohen's kappa between two analysts; Krippendorff's alpha over all."""


class Confusion(Record):
    """Moments that the first analyst tagged with one concept alone and the second with the other alone."""

    first: str
    second: str
    count: int


class Comparison(Record):
    """Two analysts, or two annotations of one, over all bouts that both noted."""

    first: str
    second: str
    """The same as `first` where one analyst noted bouts twice; the second annotation then."""
    bouts: tuple[str, ...]
    pairs: int
    """Moments that both noted."""
    first_alone: tuple[Noted, ...]
    """Moments in rounds that both noted, and for which the other has no segment."""
    second_alone: tuple[Noted, ...]
    concepts: tuple[ConceptAgreement, ...]
    alpha_nominal: Agreement
    """Krippendorff's alpha over the presence of each concept."""
    alpha_masi: Agreement
    """Krippendorff's alpha over tag sets with MASI distance, by which sets that overlap agree in part."""
    boundaries: Agreement
    """Boundary similarity of where segments start and, where written, end. Not corrected for chance."""
    disagreements: tuple[Disagreement, ...]
    """The widest apart first."""
    confusions: tuple[Confusion, ...]
    """The most frequent first."""


class Overall(Record):
    """All analysts together."""

    analysts: tuple[str, ...]
    bouts: tuple[str, ...]
    moments: int
    """Moments that at least two analysts noted."""
    concepts: tuple[ConceptAgreement, ...]
    alpha_nominal: Agreement
    alpha_masi: Agreement
    boundaries: Agreement


class AgreementReport(Record):
    comparisons: tuple[Comparison, ...]
    """By analyst's name."""
    overall: Overall | None
    """None where no two analysts noted the same rounds of a bout."""
    without_analyst: int
    """Segments left out because nothing says who noted them."""
    without_time: int
    """Segments left out because their time could not be placed; untimed text is not counted."""
