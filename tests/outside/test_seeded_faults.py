"""Faults planted in the clean demo: the bars for recall and for false alarms.

The bars: recall of 0.95 for rules that need no judgement, 0.7 for those that weigh evidence; in 100 notes at most one
false alarm in the clean demo, and 0.3 in the second library, on which nothing is tuned. The faults are those of
tests/bench/fault_kinds.py, planted here at few places each, with a fixed seed; tests/bench/seeded_faults.py prints the
table over 100 places each. What counts as a false alarm on the clean libraries was judged by hand, in
tests/bench/demo_judged.yaml and tests/bench/second_judged.yaml.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.fault_kinds import KINDS, NO_JUDGEMENT, Kind
from tests.bench.seeded_faults import DEMO, SECOND, built_copy, clean_alarms, right_in, run_kind

PLACES = 10


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.least], ids=lambda kind: kind.name)
def test_recall(kind: Kind, demo: Path) -> None:
    assert kind.least
    tally = run_kind(kind, demo, PLACES, seed=0, alone=True)
    assert tally.planted == PLACES
    assert tally.recall >= kind.least, tally.missed


def test_twelve_kinds_need_no_judgement_and_six_do() -> None:
    bars = [kind.least for kind in KINDS if kind.least]
    assert (sum(bar == NO_JUDGEMENT for bar in bars), len(bars)) == (12, 18)


@pytest.mark.parametrize(("source", "most"), [(DEMO, 1.0), (SECOND, 0.3)], ids=["demo", "second"])
def test_false_alarms_on_clean_libraries(source: Path, most: float, demo: Path, tmp_path: Path) -> None:
    report, alarms = clean_alarms(demo if source == DEMO else built_copy(source, tmp_path), source)
    assert report.notes > 150
    assert len(alarms) <= most * report.notes / 100, [f"{one.rule} {one.place}" for one in alarms]
    assert len(report.findings) - len(alarms) == len(right_in(source)), "the list names findings that are no more"
