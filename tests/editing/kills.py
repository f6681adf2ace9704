"""Edits of a small library in a process of their own, which kills itself where it is told to."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from fightnotes.editing.plan import Plan
from fightnotes.editing.taking import Notes, plan_taking
from fightnotes.library import Library, open_library
from fightnotes.model import Concept
from fightnotes.proposing.proposal import Proposal
from fightnotes.proposing.rejected_terms import plan_term_rejection
from fightnotes.vocabulary.proposal_edit import plan_proposal

MEMORY = Path("/dev/shm")
"""Where a kill is tried without waiting for a disk: what is killed is a process, not the machine."""

VOCABULARY = """\
concepts:
  - id: punch
    label: punch
  - id: jab
    label: jab
    also: [lead straight]
    broader: punch
  - {id: stick, label: stick, broader: punch}
  - {id: slip, label: slip}
"""
FRONT = "---\nbout: {id}\nred: {{name: Ines Corvale}}\nblue: {{name: Rika Brandaal}}\nanalyst: mk\n---\n## Round 1\n"
NOTES = """\
- R1 1:40 Corvale in behind it. #jab by:corvale
- R1 1:20 Twice. #jab #stick by:corvale
- R1 0:58 Off the line. #slip by:brandaal
- R1 0:40 Again. #lead-straight by:corvale
- R1 0:30 And again. #jabb by:corvale
"""
SKOS = """\
@prefix skos: <http://www.w3.org/2004/02/skos/core#> .
@prefix : <urn:x:> .
:feint a skos:Concept ; skos:prefLabel "feint"@en .
"""


def make_library(root: Path) -> Library:
    """Three bouts, each with a tag of every concept and one that is misspelt, and notes of no bout; no index."""
    (root / "bouts").mkdir(parents=True)
    (root / "library.yaml").write_text("title: Kills\n")
    (root / "vocabulary.yaml").write_text(VOCABULARY)
    for name in ("a", "b", "c"):
        (root / "bouts" / f"{name}.md").write_text(FRONT.format(id=name) + NOTES)
    (root / "feint.ttl").write_text(SKOS)
    (root / "old").mkdir()
    (root / "old" / "2030-01-02 Umoreke v Kazehori.txt").write_bytes("R1 0:40 café\n".encode("latin-1"))
    return open_library(root)


def contents(root: Path) -> dict[str, bytes]:
    """All files but the entries of the journal and what is derived."""
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and path.relative_to(root).parts[0] not in (".fightnotes", "undo")
    }


def scratch(root: Path) -> list[str]:
    """What no complete change leaves."""
    left = [*root.rglob("*.part"), *root.rglob("*.begun")]
    return sorted(path.relative_to(root).as_posix() for path in left)


def _split(library: Library) -> Plan:
    tags = [(segment.file, tag) for segment in library.read().segments for tag in segment.tags if tag.concept == "jab"]
    given = {(file, tag.line, tag.column): "up-jab" for file, tag in tags if file != "bouts/c.md"}
    return library.plan_split("jab", [Concept(id="up-jab", label="up jab")], given)


def _take(library: Library) -> Plan:
    reading = library.read()
    notes = Notes(library.root, {bout.id: bout for bout in reading.bouts}, reading.vocabulary, reading.settings)
    return plan_taking(notes, [(segment, "slip") for segment in reading.segments])


def _refuse(library: Library) -> Plan:
    return library.plan_rejection(library.read().segments[0], "slip")


def _take_and_refuse(library: Library) -> Plan:
    taking = _take(library)
    return replace(taking, edits=(*taking.edits, *_refuse(library).edits))


def _propose(library: Library) -> Plan:
    words, place = "back step", "punch"
    proposal = Proposal(
        term=words, kind="concept", seen_as="phrase", concept=place, uses=3, segments=3, weight=1, why="", examples=()
    )
    return plan_proposal(library.text(), proposal)


PLANS: dict[str, Callable[[Library], Plan]] = {
    "add": lambda library: library.plan_concept(Concept(id="hook", label="hook", broader=("punch",))),
    "label": lambda library: library.plan_labels("slip", ["duck away"]),
    "merge": lambda library: library.plan_merge("jab", "stick"),
    "rename": lambda library: library.plan_rename("jab", "lead-jab", "lead jab", keep=False),
    "split": _split,
    "retire": lambda library: library.plan_retire("jab"),
    "import": lambda library: library.plan_import(library.root / "feint.ttl"),
    "take tags": _take,
    "other tag instead": _take_and_refuse,
    "refuse a tag": _refuse,
    "propose --apply": _propose,
    "propose --reject": lambda library: plan_term_rejection(library.root, "back step"),
    "start": lambda library: library.plan_beginning(library.survey()).plan,
    "audit --fix": lambda library: library.plan_fixes(library.audit()),
}
UNDO = "undo"
"""The edit that takes the last one back."""

SERVER = """
import os, signal, sys, tempfile, time
from pathlib import Path
from fightnotes.library import open_library
from tests.editing.kills import PLANS, UNDO, make_library

EDITS = {UNDO: lambda library: library.undo()}
with tempfile.TemporaryDirectory() as folder:  # all imports are behind a child when it begins
    library = make_library(Path(folder, "library"))
    for name, plan in PLANS.items():
        EDITS[name] = lambda library, made=plan(library): library.apply(made)
    EDITS["merge"](library)
    library.undo()

COUNTED = ("journal.py", "atomic.py", "undo_file.py")
count = 0

def at_line(number, act):
    begun = False
    def trace(frame, event, argument):
        global count
        nonlocal begun
        begun = begun or frame.f_code.co_name == "_made"
        if not begun or not frame.f_code.co_filename.endswith(COUNTED):
            return None
        if event == "line":
            count += 1
            if count == number:
                act()
        return trace
    sys.settrace(trace)

def after_replacing(number, act):
    replace = os.replace
    def counted(*paths):
        global count
        replace(*paths)
        count += 1
        if count == number:
            act()
    os.replace = counted

def die():
    os.kill(os.getpid(), signal.SIGKILL)

def pause():
    print("paused", flush=True)
    time.sleep(1)

PLACES = {"line": at_line, "replaced": after_replacing}
ACTS = {"die": die, "pause": pause}
for order in sys.stdin:
    root, edit, place, number, act = order.rstrip("\\n").split("\\t")
    child = os.fork()
    if child == 0:
        library = open_library(Path(root))
        PLACES[place](int(number), ACTS[act])
        EDITS[edit](library)
        sys.settrace(None)
        print(count, flush=True)
        os._exit(0)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    print(f"ended {code}", flush=True)
"""
"""Makes an edit in a child for each order: the library, the edit, whether lines of the journal's own are counted or
files that took their names, the number at which the child acts, and whether it dies or pauses there."""


@dataclass
class Server:
    process: subprocess.Popen[str]

    def begin(self, root: Path, edit: str, place: str, number: int, act: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write("\t".join((str(root), edit, place, str(number), act)) + "\n")
        self.process.stdin.flush()

    def said(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def kill(self, root: Path, edit: str, number: int, place: str = "line") -> None:
        """The edit, dying at this line of the journal's own, or once so many files took their names."""
        self.begin(root, edit, place, number, "die")
        assert self.said() == "ended -9"

    def lines(self, root: Path, edit: str) -> int:
        """How many lines of the journal's own the edit runs, which is made whole."""
        self.begin(root, edit, "line", 0, "die")
        count = int(self.said())
        assert self.said() == "ended 0"
        return count


@contextmanager
def serving() -> Iterator[Server]:
    process = subprocess.Popen([sys.executable, "-c", SERVER], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    yield Server(process)
    process.kill()
    process.communicate()


@dataclass
class Tally:
    """What kills of one edit came to."""

    kills: int = 0
    mixtures_left: int = 0
    """Libraries that the kill left half changed."""
    mixtures_after: int = 0
    """Those that were so still after the next command."""
    scratch_after: int = 0
    not_taken_back: int = 0
    """Changes that were made in the end and that undo did not take back whole."""


def try_kills(server: Server, edit: str, folder: Path, choose: Callable[[int], list[int]]) -> Tally:
    """Kill the edit at the lines that are chosen by their number, each in a fresh library; the next command follows."""
    tally = Tally()
    whole = folder / "whole"
    _ready(whole, edit)
    before = contents(whole)
    lines = server.lines(whole, edit)
    after = contents(whole)
    for number in choose(lines):
        root = folder / f"killed-{tally.kills}"
        _ready(root, edit)
        server.kill(root, edit, number)
        tally.kills += 1
        tally.mixtures_left += _but_scratch(root) not in (before, after)
        library = open_library(root)
        library.take_notices()
        found = contents(root)
        tally.mixtures_after += found not in (before, after)
        tally.scratch_after += bool(scratch(root))
        if found == (before if edit == UNDO else after):
            library.undo()
            tally.not_taken_back += contents(root) != (after if edit == UNDO else before)
    return tally


def _but_scratch(root: Path) -> dict[str, bytes]:
    return {name: content for name, content in contents(root).items() if not name.endswith(".part")}


def _ready(root: Path, edit: str) -> None:
    library = make_library(root)
    if edit == UNDO:
        library.apply(library.plan_merge("jab", "stick"))
