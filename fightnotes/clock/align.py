"""The way from a recording's own time to the footage it speaks about."""

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from .faults import ClockError
from .media_time import format_media_time


@dataclass(frozen=True, slots=True)
class Alignment:
    """Pairs of instants, in seconds, that show the same moment: in the recording, in the footage.

    Raises ClockError where either side does not strictly ascend from pair to pair.
    """

    pairs: tuple[tuple[Fraction, Fraction], ...]

    def __post_init__(self) -> None:
        for earlier, later in pairwise(self.pairs):
            for side, name in enumerate(("recording", "footage")):
                if later[side] <= earlier[side]:
                    raise ClockError(
                        f"{format_media_time(later[side])} in the {name}",
                        f"a time after {format_media_time(earlier[side])}, the aligned one before it",
                    )

    def to_footage(self, seconds: Fraction) -> Fraction | None:
        """Footage seconds of a recording's instant, on a straight line between the pairs around it.

        None before the first pair and after the last: outside them nothing says whether the footage ran on.
        So one pair alone maps its own instant and no other.
        """
        if not self.pairs or not self.pairs[0][0] <= seconds <= self.pairs[-1][0]:
            return None
        after = bisect_right(self.pairs, seconds, key=lambda pair: pair[0])
        recording, footage = self.pairs[after - 1]
        if recording == seconds:
            return footage
        next_recording, next_footage = self.pairs[after]
        return footage + (seconds - recording) * (next_footage - footage) / (next_recording - recording)
