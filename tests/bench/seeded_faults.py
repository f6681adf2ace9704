"""Faults planted in the clean demo: how many the audit finds, and how often it cries for nothing.

    python -m tests.bench.seeded_faults [KIND ...] [--places 100]

Each kind of fault is planted at random places of a copy of the demo, ten at a time, by editing its text
files as a tired analyst would leave them; a fault counts as found where a finding of one of the rules for
it points at its place. What the audit says of the untouched demo, and of the second library that nobody tunes on, was
judged by hand, in `demo_judged.yaml` and `second_judged.yaml`.
"""

from __future__ import annotations

import argparse
import random
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from ruamel.yaml import YAML

from fightnotes.audit.finding import Finding
from fightnotes.audit.report import AuditReport
from fightnotes.audit.run import audit
from fightnotes.index.build import build
from fightnotes.index.local_store import LocalStore
from fightnotes.reading.library import LibraryReading, read_library
from tests.bench.built import built_copy
from tests.bench.fault_kinds import KINDS, Ground, Kind, Page, Planted

DEMO = Path(__file__).parents[2] / "corpus_demo"

SECOND = Path(__file__).parents[1] / "judged" / "second"
JUDGED = {
    source: Path(__file__).with_name(f"{name}_judged.yaml") for name, source in (("demo", DEMO), ("second", SECOND))
}
"""By library, the list of what the audit says of it."""
_TEXT = 50
"""Characters by which the list names a note."""


def key_of(finding: Finding) -> tuple[str, str, str]:
    return finding.rule, finding.place.file, f"{finding.about} | {finding.place.text[:_TEXT]}"


def right_in(source: Path) -> frozenset[tuple[str, str, str]]:
    """Findings on the clean library that are right, by its list."""
    rows = YAML(typ="safe").load(JUDGED[source].read_text(encoding="utf-8"))
    return frozenset((row["rule"], row["file"], f"{row['about']} | {row['text']}") for row in rows if row["right"])


@dataclass
class Tally:
    """What came of one kind of fault."""

    kind: Kind
    planted: int = 0
    found: int = 0
    extra: Counter[str] = field(default_factory=Counter)
    """Findings by rule that neither the clean demo has nor a planted fault explains."""
    missed: list[str] = field(default_factory=list)
    extras: list[Finding] = field(default_factory=list)

    @property
    def recall(self) -> float:
        return self.found / self.planted if self.planted else 0.0


def run_kind(kind: Kind, demo: Path, places: int, seed: int, *, alone: bool = False) -> Tally:
    """`demo` is a built copy of the demo, which stays as it is; with `alone` only the kind's own rules run."""
    only = kind.rules if alone else ()
    clean = read_library(demo)
    store = LocalStore(demo)
    before = Counter(key_of(finding) for finding in audit(clean, store, only=only).findings)
    rng = random.Random(f"{kind.name} {seed}")
    tally = Tally(kind)
    while tally.planted < places:
        with tempfile.TemporaryDirectory() as folder:
            root = Path(folder) / "demo"
            shutil.copytree(demo, root)
            ground = Ground(clean, rng, _pages(clean))
            planted = _plant(kind, ground, min(kind.batch, places - tally.planted))
            if not planted:
                raise RuntimeError(f"no place left for '{kind.name}'")
            starts = _write(root, ground)
            if kind.rebuild:
                build(root)
            report = audit(read_library(root), LocalStore(root) if kind.rebuild else store, only=only)
            _score(tally, planted, starts, report, before)
    return tally


def _pages(reading: LibraryReading) -> dict[str, Page]:
    files = dict.fromkeys(note.file for note in reading.segments if note.kind == "note")
    return {
        file: Page((reading.root / file).read_text(encoding="utf-8").split("\n"))
        for file in (*files, "vocabulary.yaml")
    }


def _plant(kind: Kind, ground: Ground, count: int) -> list[Planted]:
    planted: list[Planted] = []
    for _ in range(count * 20):
        if len(planted) == count:
            break
        fault = kind.plant(ground)
        if fault:
            planted.append(fault)
            ground.used |= {(fault.file, line) for line in range(fault.first, fault.last + 1)}
    return planted


def _write(root: Path, ground: Ground) -> dict[str, list[int]]:
    """Writes the pages; gives, by file, the line on which each old line now begins."""
    starts: dict[str, list[int]] = {}
    for file, page in ground.pages.items():
        (root / file).write_text("\n".join(page.lines), encoding="utf-8")
        counted = [1]
        for line in page.lines:
            counted.append(counted[-1] + line.count("\n") + 1)
        starts[file] = counted
    return starts


def _score(
    tally: Tally,
    planted: list[Planted],
    starts: dict[str, list[int]],
    report: AuditReport,
    before: Counter[tuple[str, str, str]],
) -> None:
    left = Counter(before)
    fresh = []
    for finding in report.findings:
        if left[key_of(finding)]:
            left[key_of(finding)] -= 1
        else:
            fresh.append(finding)
    spans = [(one.file, starts[one.file][one.first - 1], starts[one.file][one.last] - 1) for one in planted]
    for one, span in zip(planted, spans, strict=True):
        tally.planted += 1
        if any(finding.rule in tally.kind.rules and _touches(finding, span) for finding in fresh):
            tally.found += 1
        else:
            tally.missed.append(f"{one.file}:{one.first}")
    for finding in fresh:
        if not any(_touches(finding, span) for span in spans):
            tally.extra[finding.rule] += 1
            tally.extras.append(finding)


def _touches(finding: Finding, span: tuple[str, int, int]) -> bool:
    file, first, last = span
    return any(
        place.file == file and place.line <= last and max(place.line, place.last_line) >= first
        for place in finding.places
    )


def clean_alarms(built: Path, source: Path) -> tuple[AuditReport, list[Finding]]:
    """The report on an untouched library, and those of its findings that are not known to be right."""
    report = audit(read_library(built), LocalStore(built))
    right = right_in(source)
    return report, [finding for finding in report.findings if key_of(finding) not in right]


def _rows(demo: Path, kinds: list[Kind], given: argparse.Namespace) -> Iterator[str]:
    yield f"{'fault':30} {'rule':38} {'places':>6} {'recall':>7} {'asked':>6}  findings elsewhere"
    for kind in kinds:
        tally = run_kind(kind, demo, given.places, given.seed, alone=given.alone)
        asked = f"{kind.least:.2f}" if kind.least else "-"
        extra = ", ".join(f"{rule} {count}" for rule, count in tally.extra.items()) or "none"
        yield f"{kind.name:30} {', '.join(kind.rules):38} {tally.planted:6} {tally.recall:7.2f} {asked:>6}  {extra}"
        if given.show:
            yield f"    missed: {', '.join(tally.missed)}"
            yield from (f"    {one.rule} {one.place.file}:{one.place.line} {one.message}" for one in tally.extras[:12])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("kinds", nargs="*", help="names of kinds; all where none is given")
    parser.add_argument("--places", type=int, default=100)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--alone", action="store_true", help="each kind's own rules only: faster, recall alone")
    parser.add_argument("--show", action="store_true", help="name what was missed and what was found elsewhere")
    given = parser.parse_args()
    kinds = [kind for kind in KINDS if not given.kinds or kind.name in given.kinds]
    with tempfile.TemporaryDirectory() as folder:
        demo = built_copy(DEMO, Path(folder))
        for source in (DEMO, SECOND):
            report, alarms = clean_alarms(demo if source == DEMO else built_copy(source, Path(folder)), source)
            share = 100 * len(alarms) / report.notes
            print(f"{source.name}, clean: {report.notes} notes, {len(report.findings)} findings", end=", ")
            print(f"{len(alarms)} of them false alarms, {share:.2f} in 100 notes")
            for rule, count in Counter(finding.rule for finding in report.findings).items():
                false = sum(finding.rule == rule for finding in alarms)
                print(f"    {rule:24} {count:4} findings, {false} false")
        print()
        for row in _rows(demo, kinds, given):
            print(row, flush=True)


if __name__ == "__main__":
    main()
