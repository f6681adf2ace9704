"""How an audit grows with the library: seconds, memory and findings of `fightnotes audit --format json`.

    python -m tests.bench.audit_scale [--segments 1000 10000 100000] [--keep DIR]

The libraries are made from the demo's sentences and built with the default model. Each is audited by a process of its
own, which throws its JSON away. Parts are in seconds of the processor, which a busy machine stretches less than those
of the clock. An exponent is that of the last two sizes: 1 grows with the library, 2 with its square. `--keep` makes
the libraries in a folder that stays, and uses those there, which `tests.bench.scale` does, too.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import resource
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import redirect_stdout
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from time import perf_counter, process_time
from typing import Any
from unittest.mock import patch

from fightnotes.audit import run
from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Check, Remark, TooLittle
from fightnotes.cli.main import app
from fightnotes.library import auditing
from tests.bench.made_library import build_apart, make_library

SIZES = (1_000, 10_000, 100_000)
SMALL = 0.5
"""Seconds at the largest size, below which a part has no line of its own."""


@dataclass(frozen=True)
class Measured:
    clock: float
    processor: float
    peak: float
    """MiB that the process held at most."""
    findings: int
    parts: dict[str, float]
    """Seconds of the processor."""


class Spent:
    """Seconds of the processor by part, and how much was found."""

    def __init__(self) -> None:
        self.seconds: Counter[str] = Counter()
        self.findings = 0

    def call(self, part: str, called: Callable[..., Any]) -> Callable[..., Any]:
        def timed(*given: Any, **named: Any) -> Any:
            begun = process_time()
            try:
                return called(*given, **named)
            finally:
                self.seconds[part] += process_time() - begun

        return timed

    def rule(self, name: str, check: Check) -> Check:
        def timed(data: AuditData) -> Iterator[Remark | TooLittle]:
            step = self.call(name, check(data).__next__)
            while True:
                try:
                    said = step()
                except StopIteration:
                    return
                self.findings += isinstance(said, Remark)
                yield said

        return timed


def measured_here(root: Path) -> Measured:
    """The command, run once in this process, of which nothing was loaded but by this module."""
    spent = Spent()
    rules = tuple(replace(rule, check=spent.rule(rule.name, rule.check)) for rule in run.RULES)
    begun, worked = perf_counter(), process_time()
    with (
        patch.object(run, "RULES", rules),
        patch.object(run, "Meaning", spent.call("vectors", run.Meaning)),
        patch.object(auditing, "_read", spent.call("reading", auditing._read)),
        Path(os.devnull).open("w", encoding="utf-8") as nowhere,
        redirect_stdout(nowhere),
    ):
        app(["audit", "--library", str(root), "--format", "json"], standalone_mode=False)
    processor = process_time() - worked
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    parts = {**spent.seconds, "all else": processor - spent.seconds.total()}
    return Measured(perf_counter() - begun, processor, peak, spent.findings, parts)


def measured_apart(root: Path) -> Measured:
    command = [sys.executable, "-m", "tests.bench.audit_scale", "--audit", str(root)]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return Measured(**json.loads(done.stdout))


def exponent(sizes: Sequence[int], values: Sequence[float]) -> str:
    if len(sizes) < 2 or min(values[-2:]) <= 0:
        return ""
    return f"{math.log(values[-1] / values[-2]) / math.log(sizes[-1] / sizes[-2]):.2f}"


def print_growth(sizes: Sequence[int], found: Sequence[Measured]) -> None:
    lines: list[tuple[str, list[float]]] = [
        ("seconds of the clock", [one.clock for one in found]),
        ("seconds of the processor", [one.processor for one in found]),
        ("peak memory, MiB", [one.peak for one in found]),
        ("findings", [one.findings for one in found]),
    ]
    largest = found[-1].parts
    lines += [
        (f"  {part}", [one.parts.get(part, 0.0) for one in found])
        for part in sorted(largest, key=lambda part: -largest[part])
        if largest[part] >= SMALL
    ]
    small = [part for part in largest if largest[part] < SMALL]
    lines.append((f"  {len(small)} small parts", [sum(one.parts.get(part, 0.0) for part in small) for one in found]))
    print(f"{'segments':28}{''.join(f'{size:>12,}' for size in sizes)}{'exponent':>12}")
    for name, values in lines:
        print(f"{name:28}{''.join(f'{value:12,.1f}' for value in values)}{exponent(sizes, values):>12}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--segments", type=int, nargs="+", default=SIZES)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--audit", type=Path, help="print what one audit of this library takes, as JSON")
    arguments = parser.parse_args()
    if arguments.audit:
        print(json.dumps(asdict(measured_here(arguments.audit))))
        return
    sizes = sorted(arguments.segments)
    with tempfile.TemporaryDirectory() as made:
        roots = [(arguments.keep or Path(made)) / f"{size}" for size in sizes]
        for size, root in zip(sizes, roots, strict=True):
            if not root.exists():
                root.parent.mkdir(parents=True, exist_ok=True)
                make_library(root, size)
            build_apart(root)
        print_growth(sizes, [measured_apart(root) for root in roots])


if __name__ == "__main__":
    main()
