"""From counted acts back to the moments that tell them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from fightnotes.model import ACT_KEYS, Bout, Moment, Segment
from fightnotes.model.moment import plain_seconds
from fightnotes.search.hit import Hit
from fightnotes.tally.acts import CountedAct


def hits_of(acts: Iterable[CountedAct], bouts: Mapping[str, Bout]) -> tuple[Hit, ...]:
    """The moments of acts, each once, bout by bout from the oldest on and in order of time, as `find` gives them."""
    moments: dict[str, tuple[CountedAct, dict[str, Segment]]] = {}
    for act in acts:
        _, others = moments.setdefault(act.segment.place, (act, {}))
        others |= {segment.place: segment for segment in act.others}
    order = {bout: number for number, bout in enumerate(bouts)}
    told = sorted(moments.values(), key=lambda moment: (order[moment[0].bout], *_in_time(moment[0])))
    return tuple(
        Hit(segment=act.segment, bout=bouts[act.bout], score=1.0, same_moment=tuple(others.values()))
        for act, others in told
    )


def _in_time(act: CountedAct) -> tuple[int, bool, Fraction, int]:
    """By round, then by time: where there are no bells, by how much of the round is gone; untimed ones last."""
    return act.round or 999_999, act.time is None, act.time or Fraction(0), act.segment.line


def act_as_json(act: CountedAct, bout: Bout) -> dict[str, Any]:
    """Plain values: the act, and where it is told."""
    moment = Moment(segment=act.segment, bout=bout)
    return {
        "concept": act.concept,
        **{key: list(getattr(act.fields, key)) for key in ACT_KEYS},
        "bout": act.bout,
        "round": act.round,
        "round_clock": moment.round_clock,
        "start": plain_seconds(act.segment.start),
        "end": plain_seconds(act.segment.end),
        "timed_on": act.segment.timed_on,
        "file": act.segment.file,
        "line": act.segment.line,
        "also": [segment.place for segment in act.others],
        "analysts": list(act.analysts),
    }
