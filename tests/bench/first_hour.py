"""What `start` and `check` cost on many files and on a huge one, against reading the same notes as a build does.

`python -m tests.bench.first_hour [FILES]` prints it.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from fightnotes.library import open_library

T = TypeVar("T")
NOTE = "- R{round} {minute}:{second:02} Umoreke steps in behind the jab, and {number} more #jab by:umoreke\n"
HUGE = 10_000_000


def timed(work: Callable[[], T]) -> tuple[T, float]:
    begun = time.perf_counter()
    done = work()
    return done, time.perf_counter() - begun


def notes(count: int) -> str:
    """So many notes, none like another, on a clock that runs down."""
    lines = ((1 + number // 40, 2 - number % 40 // 15, 59 - 4 * (number % 15)) for number in range(count))
    return "".join(
        NOTE.format(round=1 + (number - 1) % 12, minute=minute, second=second, number=count)
        for count, (number, minute, second) in enumerate(lines)
    )


def many(root: Path, count: int) -> None:
    for number in range(count):
        year, month, day = 2000 + number // 336, 1 + number // 28 % 12, 1 + number % 28
        folder = root / str(year)
        folder.mkdir(exist_ok=True)
        (folder / f"{year}-{month:02}-{day:02} Umoreke v Kazehori.txt").write_text(notes(30))


def huge(root: Path, _: int) -> None:
    text = notes(HUGE // len(NOTE))
    (root / "2031-03-08 Umoreke v Kazehori.txt").write_text(text[:HUGE])


def measure(title: str, fill: Callable[[Path, int], None], count: int) -> None:
    with tempfile.TemporaryDirectory() as made:
        root = Path(made)
        fill(root, count)
        library = open_library(root)
        survey, looking = timed(library.survey)
        beginning, planning = timed(lambda: library.plan_beginning(survey))
        _, writing = timed(lambda: library.apply(beginning.plan))
        reading, plain = timed(library.read)
        _, again = timed(lambda: library.plan_beginning(library.survey()))
        _, checking = timed(library.check)
    assert len(reading.bouts) == count
    print(
        f"| {title} | {looking:.1f} s | {planning:.1f} s | {writing:.1f} s | {again:.1f} s | {checking:.1f} s |", end=""
    )
    print(f" {plain:.1f} s | {looking / plain:.2f} | {again / plain:.2f} | {checking / plain:.2f} |", flush=True)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print("| folder | look through | plan | write | start again | check | read", end="")
    print(" | look / read | again / read | check / read |")
    print("| --- |" + " --- |" * 9)
    measure(f"{count} files of 30 notes", many, count)
    measure("one file of 10 MB", huge, 1)


if __name__ == "__main__":
    main()
