"""A library of any size, made from the demo's sentences: recombined at their commas, and numbered."""

from __future__ import annotations

import argparse
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from fightnotes.model import Segment
from fightnotes.reading.library import read_library

DEMO = Path(__file__).parents[2] / "corpus_demo"
NOTES_IN_A_BOUT = 200


def make_library(root: Path, segments: int, seed: int = 20310308) -> None:
    """Writes settings, vocabulary and bouts of `NOTES_IN_A_BOUT` notes each, until there are so many segments."""
    demo = read_library(DEMO)
    root.mkdir(parents=True)
    for name in ("library.yaml", "vocabulary.yaml"):
        shutil.copy(DEMO / name, root / name)
    notes = [segment for segment in demo.segments if segment.kind == "note" and segment.timed and segment.text]
    clauses = [clause.strip(" .") for segment in notes for clause in segment.text.split(",") if clause.strip(" .")]
    people = [fighter.id for fighter in demo.settings.fighters]
    chance = random.Random(seed)
    (root / "bouts").mkdir()
    for begin in range(0, segments, NOTES_IN_A_BOUT):
        count = min(NOTES_IN_A_BOUT, segments - begin)
        number = begin // NOTES_IN_A_BOUT
        path = root / "bouts" / f"{2000 + number % 31}" / f"bout-{number:05}.md"
        path.parent.mkdir(exist_ok=True)
        path.write_text(_bout(number, count, notes, clauses, people, chance), encoding="utf-8")


def _bout(
    number: int, count: int, notes: list[Segment], clauses: list[str], people: list[str], chance: random.Random
) -> str:
    red, blue = chance.sample(people, 2)
    lines = [
        "---",
        f"bout: bout-{number:05}",
        f"date: {2000 + number % 31}-{1 + number % 12:02}-{1 + number % 28:02}",
        f"red: {{name: {red}, id: {red}}}",
        f"blue: {{name: {blue}, id: {blue}}}",
        "media: {file: bout.mp4, rate: 25}",
        f"analyst: {chance.choice(('mk', 'dv'))}",
        "---",
    ]
    seconds = 0
    for _ in range(count):
        seconds += chance.randint(3, 20)
        words = ", ".join(chance.sample(clauses, chance.randint(1, 3)))
        tags = "".join(f" #{tag.name}" for tag in chance.choice(notes).tags)
        time = f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"
        lines.append(f"- {time} {words}, {chance.randint(2, 999)} times.{tags} by:{chance.choice((red, blue))}")
    return "\n".join(lines) + "\n"


def build_apart(root: Path) -> bool:
    """Builds where nothing is built yet, in a process of its own, so that torch is not in this one; whether it did."""
    if (root / ".fightnotes/manifest.json").exists():
        return False
    program = "import sys, fightnotes; fightnotes.open_library(sys.argv[1]).build()"
    subprocess.run([sys.executable, "-c", program, str(root)], check=True)
    return True


def on_made_library(told: str | None, measure: Callable[[Path], None]) -> None:
    """A bench whose command line says how large its library is and where it stays."""
    parser = argparse.ArgumentParser(description=told, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--segments", type=int, default=100_000)
    parser.add_argument("--keep", type=Path)
    arguments = parser.parse_args()
    folder = arguments.keep or Path(tempfile.mkdtemp())
    try:
        if not (folder / "library").exists():
            make_library(folder / "library", arguments.segments)
        measure(folder / "library")
    finally:
        if arguments.keep is None:
            shutil.rmtree(folder)
