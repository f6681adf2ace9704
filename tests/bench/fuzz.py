"""Damaged files and queries by the thousand: python -m tests.bench.fuzz [--inputs N] [--seed S] [--keep FOLDER]

Each input is a piece of the demo with bytes flipped, lines shuffled, doubled or lost, other pieces spliced in, odd
characters put in, or its end cut off; more than half went through several of these. Whatever it is, reading raises
nothing, every place it tells of is in the file, and nothing with a time is swallowed: a note's line belongs to a
segment XX
"""

from __future__ import annotations

import argparse
import random
import re
import resource
import shutil
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from fightnotes.errors import FightnotesError, Problem
from fightnotes.library import Library, open_library
from fightnotes.reading.library import read_library
from fightnotes.reading.text_file import split_lines

DEMO = Path(__file__).parents[2] / "corpus_demo"
KINDS = ("note", "second", "vtt", "srt", "txt", "vocabulary", "settings", "query")
_TURNS = (*KINDS[:-1] * 5, KINDS[-1])
"""A query takes ten times as long as a file."""
SLOW = 2.0
"""Seconds of processor time that no input of this size may take."""
_WINDOW = 40
_PLACES = {
    "note": "bouts/b.md", "second": "second.md", "vtt": "talk.vtt", "srt": "talk.srt", "txt": "talk.txt",
    "vocabulary": "vocabulary.yaml", "settings": "library.yaml",
}  # fmt: skip
_MATTER = (
    "---\nrounds: {{count: 10, length: '3:00'}}\nred: {{name: Ines Corvale, stance: southpaw}}\n"
    "blue: {{name: Rika Brandaal}}\nmedia: {{file: a.mp4, rate: 25, bells: {{1: '4:10'}}}}\nsources: {}\n---\n"
)
_NOTE_TIME = re.compile(r"[-*] (?:R[1-9] )?[0-9]{1,2}:[0-5][0-9] \w")
_CAPTION_TIMES = {
    "vtt": re.compile(r"[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3} --> [^\n]*\n[a-z]"),
    "srt": re.compile(r"[0-9]{2}:[0-9]{2}:[0-9]{2},[0-9]{3} --> [^\n]*\n[a-z]"),
    "txt": re.compile(r"\[[0-9]{1,2}:[0-5][0-9]\] \w"),
}
"""What plainly holds a time and words behind it."""
_ODD = (
    "\0", "\x01", "\x1b[2J", "\x85", "\u2028", "\u202e", "\ufeff", "\ufffd", "\N{NO-BREAK SPACE}", "e\u0301", "🥊",
    "👩🏽‍🦱", "ﷺ", "İ", "ß", "½", "２：１０", "٣:٤٥", "風", "क्ष", "\r", "\t", "\x0b", "\x0c", "—", "→", "’", "“",
    "---", "```", "<!--", "-->", "]]>", "|", "#", "#jab(", "by:", "stance:", "R99 9:99", "-->", "0:00", "99:99:99:99",
    "&#x110000;", "&#xD800;", "\\ud800", "\\u0000", "!!python/object:os.system", "&a [*a, *a]", "*a", "<<: *a",
    "{", "}", "[", "]", "? ", ": ", "- - - -", "> > > >", "1e999", "0x", ".inf", "~", "null", "../../etc/passwd", '"',
)  # fmt: skip


@dataclass
class Tally:
    """What became of the inputs of a kind."""

    inputs: int = 0
    with_segments: int = 0
    with_problems: int = 0
    seconds: float = 0.0
    slowest: float = 0.0
    failures: Counter[str] = field(default_factory=Counter)


def pieces() -> dict[str, list[bytes]]:
    """The texts that inputs of each kind are made from."""
    notes = [path.read_bytes() for path in sorted((DEMO / "bouts").iterdir())]
    captions = {ending: sorted((DEMO / "transcripts").glob(f"*.{ending}")) for ending in ("vtt", "srt")}
    subrip = [path.read_bytes() for path in captions["srt"]]
    stamped = [re.sub(rb"(?m)^\d+\r?\n00:(\d\d:\d\d),\d+ --> .*\r?\n", rb"[\1] ", text) for text in subrip]
    said = [line.lstrip(b"-* 0123456789:R") for note in notes for line in note.splitlines() if line.startswith(b"- ")]
    return {
        "note": notes,
        "second": [path.read_bytes() for path in sorted((DEMO / "second_look").iterdir())],
        "vtt": [path.read_bytes() for path in captions["vtt"]],
        "srt": subrip,
        "txt": stamped,
        "vocabulary": [(DEMO / "vocabulary.yaml").read_bytes()],
        "settings": [(DEMO / "library.yaml").read_bytes() + b"rounds: {count: 10}\ndefault_length: 8\n"],
        "query": said,
    }


def damaged(kind: str, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    """An input of a kind: a window of a text, in which the front matter mostly stays, then damaged."""
    lines = chance.choice(texts[kind]).splitlines(keepends=True)
    begin = chance.randrange(len(lines))
    head = lines[:12] if kind in ("note", "vtt", "settings") and chance.random() < 0.7 else []
    text = b"".join([*head, *lines[max(begin, len(head)) : begin + chance.randint(1, _WINDOW)]])
    for _ in range(chance.choice((1, 1, 2, 3, 6))):
        text = chance.choice(_DAMAGES)(text, texts, chance)
    return text


def _flip(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    raw = bytearray(text)
    for _ in range(chance.randint(1, 8)):
        if raw:
            raw[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
    return bytes(raw)


def _shuffle(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    lines = text.splitlines(keepends=True)
    chance.shuffle(lines)
    return b"".join(lines)


def _double(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    lines = text.splitlines(keepends=True)
    return b"".join(line * chance.choice((0, 1, 1, 1, 2, 9)) for line in lines)


def _splice(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    other = chance.choice(texts[chance.choice(list(texts))])
    begin, at = chance.randrange(len(other) + 1), chance.randrange(len(text) + 1)
    return text[:at] + other[begin : begin + chance.randint(1, 300)] + text[at:]


def _odd(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(text) + 1)
        text = text[:at] + chance.choice(_ODD).encode() * chance.choice((1, 1, 2, 40)) + text[at:]
    return text


def _cut_off(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    return text[: chance.randrange(len(text) + 1)]


def _lose(text: bytes, texts: dict[str, list[bytes]], chance: random.Random) -> bytes:
    begin = chance.randrange(len(text) + 1)
    return text[:begin] + text[begin + chance.randint(1, 60) :]


_DAMAGES: tuple[Callable[[bytes, dict[str, list[bytes]], random.Random], bytes], ...] = (
    _flip, _shuffle, _double, _splice, _odd, _cut_off, _lose,
)  # fmt: skip


def read(kind: str, raw: bytes, root: Path) -> tuple[int, tuple[Problem, ...], list[str]]:
    """How many segments an input gives, what is reported, and what is wrong with either. Raises what reading raises."""
    for name in _PLACES.values():
        (root / name).unlink(missing_ok=True)
    (root / "bouts").mkdir(exist_ok=True)
    source = _PLACES[kind] if kind in ("second", "vtt", "srt", "txt") else ""
    (root / "bouts/b.md").write_text(_MATTER.format(f"../{source}" if source else "[]") + "- 0:01 #jab by:corvale\n")
    (root / _PLACES[kind]).write_bytes(raw)
    reading = read_library(root)
    file = _PLACES[kind]
    lines = split_lines(raw.decode("utf-8", "replace").removeprefix("\ufeff"))
    here = [segment for segment in reading.segments if segment.file == file]
    wrong = [str(problem) for problem in reading.problems if problem.file == file and not _is_in(problem, lines)]
    wrong += [f"line {one.line}" for one in here if not 1 <= one.line <= one.last_line <= len(lines)]
    if kind in ("note", "second"):
        reported = {problem.line for problem in reading.problems if problem.file == file}
        matter = set(range(1, lines.index("---", 1) + 2)) if lines[0] == "---" and "---" in lines[1:] else set()
        covered = {line for one in here for line in range(one.line, one.last_line + 1)}
        timed = {number for number, line in enumerate(lines, 1) if _NOTE_TIME.match(line)}
        wrong += [
            f"swallowed, line {number}: {lines[number - 1][:60]}" for number in timed - reported - covered - matter
        ]
    elif kind in _CAPTION_TIMES and not here and not reading.problems and _CAPTION_TIMES[kind].search("\n".join(lines)):
        wrong.append("swallowed")
    return len(here), reading.problems, wrong


def _is_in(problem: Problem, lines: list[str]) -> bool:
    return problem.line == 0 or (problem.line <= len(lines) and problem.column <= len(lines[problem.line - 1]) + 1)


def ask(raw: bytes, library: Library) -> tuple[int, tuple[Problem, ...], list[str]]:
    """As `read`, for the moments that answer a query."""
    found = library.find(raw.decode("utf-8", "surrogateescape"), limit=5)
    return len(found.hits), (), [] if found.hits or found.notices else ["neither hits nor a notice"]


def failures(
    inputs: int, seed: int, root: Path, library: Library, tallies: dict[str, Tally]
) -> Iterator[tuple[str, str, bytes]]:
    """Kind, what is wrong, and the bytes of each input that breaks something; counts go into `tallies`."""
    texts = pieces()
    for number in range(inputs):
        chance = random.Random(f"{seed}-{number}")
        kind = _TURNS[number % len(_TURNS)]
        raw = damaged(kind, texts, chance)
        tally = tallies.setdefault(kind, Tally())
        begun = time.process_time()
        try:
            segments, problems, wrong = ask(raw, library) if kind == "query" else read(kind, raw, root)
        except FightnotesError as error:
            segments, problems, wrong = 0, (), [] if kind == "query" else [f"{type(error).__name__}: {error}"]
        except Exception as error:  # noqa: BLE001  any other is what is looked for
            segments, problems, wrong = 0, (), [f"{type(error).__name__}: {str(error)[:80]}"]
        taken = time.process_time() - begun
        if taken > SLOW:
            wrong.append(f"took {taken:.1f} s")
        tally.inputs += 1
        tally.with_segments += segments > 0
        tally.with_problems += bool(problems)
        tally.seconds += taken
        tally.slowest = max(tally.slowest, taken)
        for what in wrong:
            tally.failures[what] += 1
            yield kind, what, raw


def print_tallies(tallies: dict[str, Tally]) -> None:
    print(f"{'':12}{'inputs':>9}{'segments':>10}{'problems':>10}{'ms each':>9}{'slowest':>9}{'failures':>10}")
    for kind, tally in tallies.items():
        each, slowest = 1000 * tally.seconds / tally.inputs, 1000 * tally.slowest
        print(
            f"{kind:12}{tally.inputs:9}{tally.with_segments:10}{tally.with_problems:10}{each:9.1f}{slowest:9.0f}"
            f"{tally.failures.total():10}"
        )
        for what, count in tally.failures.most_common(10):
            print(f"    {count} times: {what}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path)
    arguments = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (8 * 2**30, 8 * 2**30))
    folder = Path(tempfile.mkdtemp())
    try:
        shutil.copytree(DEMO, folder / "demo", ignore=shutil.ignore_patterns(".fightnotes"))
        demo = open_library(folder / "demo")
        demo.build()
        counts: dict[str, Tally] = {}
        (folder / "one").mkdir()
        found = failures(arguments.inputs, arguments.seed, folder / "one", demo, counts)
        for number, (kind, what, raw) in enumerate(found, 1):
            print(f"{kind}: {what}", flush=True)
            if arguments.keep:
                arguments.keep.mkdir(parents=True, exist_ok=True)
                (arguments.keep / f"{number:04}.{kind}").write_bytes(raw)
        print_tallies(counts)
        print(f"peak memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")
    finally:
        shutil.rmtree(folder)
