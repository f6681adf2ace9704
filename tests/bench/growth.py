"""How time and memory grow with the size of hostile input: python -m tests.bench.growth [NAME ...]

Each case is run at n, 2n and 4n, the best of two runs of processor time each (one where it takes half a second); the
exponent is log(time of 4n / time of n) / log 4: 1 is linear, 2 is square. Memory is Python's peak, traced in a run of
its own. What is above 1.2 is marked.
"""

from __future__ import annotations

import gc
import math
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import numpy as np

from fightnotes.editing.line_edit import Span, edits_of
from fightnotes.editing.tag_rewrite import retag
from fightnotes.language.known_words import known_words
from fightnotes.language.labels import find_labels, label_finder, labels_of
from fightnotes.language.mishearings import find_mishearings
from fightnotes.language.names import name_index
from fightnotes.language.negation import negated_spans, undone_spans
from fightnotes.language.passages import passages_of
from fightnotes.model import Concept, Fighter, Segment, Tag, Vocabulary
from fightnotes.model.conditions import breaches
from fightnotes.reading.library import LibraryReading, read_library
from fightnotes.search.moments import Scored, fold_moments, spread_bouts
from fightnotes.search.query import Query, query_labels, read_query

STEEP = 1.2
_FIGHTERS = (Fighter(id="corvale", name="Ines Corvale"), Fighter(id="brandaal", name="Rika Brandaal"))
_BOUT = "---\nbout: b\nrounds: {count: 3}\nred: {name: A Corvale}\nblue: {name: B Brandaal}\n"
_MEDIA = 'media: {rate: 25, bells: {1: "1:00"}}\n'

Work = Callable[[], object]


@dataclass(frozen=True)
class Case:
    name: str
    size: int
    """The first n."""
    made: Callable[[int], Work]
    """What is measured, for a size; the making of its input is not."""


def _reads(files: dict[str, str]) -> Work:
    folder = tempfile.TemporaryDirectory()

    def work() -> LibraryReading:
        for name, text in files.items():
            path = Path(folder.name, name)
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return read_library(Path(folder.name))

    return work


def note(text: str, matter: str = "") -> Work:
    return _reads({"bouts/b.md": f"{_BOUT}{_MEDIA}{matter}---\n{text}\n"})


def line_of(piece: str) -> Callable[[int], Work]:
    """A line of n characters, behind a time, and one of them in the prose of a tag."""
    return lambda n: note(f"- 4:50 {(piece * (n // len(piece) + 1))[:n]}\n\n- 4:55 last #jab")


def lines_of(piece: str) -> Callable[[int], Work]:
    """n lines, each the piece, in which % is its number."""
    return lambda n: note("\n".join(piece.replace("%", str(number)) for number in range(n)))


def different_tags(n: int) -> Work:
    return note("- 4:50 she steps " + " in ".join(f"#jab-{number}" for number in range(n)) + " and out")


def _clock(seconds: int) -> str:
    return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def align(n: int) -> Work:
    pairs = ", ".join(f'["{_clock(number)}", "{_clock(2 * number)}"]' for number in range(n))
    matter = f"recordings: {{talk: {{rate: 25, align: [{pairs}]}}}}\nsources: [{{file: ../t.txt, timed_on: talk}}]\n"
    said = "\n".join(f"[{_clock(number)}] word {number}\n" for number in range(n))
    return _reads({"bouts/b.md": f"{_BOUT}{matter}---\n- 0:01 jab\n", "t.txt": said})


def chain(n: int) -> Work:
    rows = (f"  - {{id: c{number}, label: c{number}, broader: c{number + 1}}}" for number in range(n))
    return _reads({"vocabulary.yaml": "concepts:\n" + "\n".join(rows) + "\n"})


def cycle(n: int) -> Work:
    concepts = tuple(Concept(id=f"c{k}", label=f"c{k}", broader=(f"c{(k + 1) % n}",)) for k in range(n))
    return lambda: breaches(Vocabulary(concepts=concepts))


def shared_labels(n: int) -> Work:
    rows = (f"  - {{id: c{number}, label: jab, also: [jab, cross], related: [c0]}}" for number in range(n))
    return _reads({"vocabulary.yaml": "concepts:\n" + "\n".join(rows) + "\n"})


def labels_of_one_word(n: int) -> Work:
    """Labels that all begin alike, found in a text that says their beginning again and again."""
    concepts = tuple(Concept(id=f"c{k}", label=" ".join(["jab"] * (k % 50 + 1)) + f" x{k}") for k in range(300))
    finder = label_finder(labels_of(Vocabulary(concepts=concepts)))
    text = "jab the " * n
    return lambda: find_labels(text, finder)


def query(piece: str) -> Callable[[int], Work]:
    names = name_index([Fighter(id="corvale", name="Ines Corvale")], misheard=True)
    labels = query_labels(Vocabulary(concepts=(Concept(id="jab", label="jab"), Concept(id="out", label="step out"))))

    def made(n: int) -> Work:
        def work() -> Query:
            undone_spans.cache_clear()
            return read_query(piece * (n // len(piece)), names, labels)

        return work

    return made


def _scored(n: int, bouts: int, apart: Fraction) -> list[Scored]:
    segments = (
        Segment(
            bout=f"b{number % bouts}", file="b.md", line=1, last_line=1, kind="note", text="jab",
            start=number * apart, footage_start=number * apart,
        )
        for number in range(n)
    )  # fmt: skip
    return [Scored(number, 1 / (number + 1), segment) for number, segment in enumerate(segments)]


def folding(n: int) -> Work:
    ranked = _scored(n, 1, Fraction(5))
    return lambda: fold_moments(ranked, np.ones((n, 4), dtype=np.float32))


def spreading(n: int) -> Work:
    ranked = _scored(n, 50, Fraction(5))
    return lambda: spread_bouts(ranked, n)


def many_sources(n: int) -> Work:
    listed = ", ".join(f"../t/{number}.txt" for number in range(n))
    files = {f"t/{number}.txt": "[0:01] jab\n" for number in range(n)}
    return _reads({"bouts/b.md": f"{_BOUT}sources: [{listed}]\n---\n", **files})


def people(n: int) -> Work:
    rows = "\n".join(f"  - {{id: p{number}, name: A B{number}, also: [x{number}]}}" for number in range(n))
    return _reads({"library.yaml": f"fighters:\n{rows}\n", "bouts/b.md": f"{_BOUT}---\n- 0:01 jab by:corvale\n"})


def yaml(text: Callable[[int], str]) -> Callable[[int], Work]:
    return lambda n: _reads({"vocabulary.yaml": text(n)})


def alias_bomb(n: int) -> str:
    """Each of n lists holds the one before twice (the "billion laughs")."""
    rows = ["concepts: [x]", "a0: &a0 [x]"]
    return "\n".join([*rows, *(f"a{k}: &a{k} [*a{k - 1}, *a{k - 1}]" for k in range(1, n))])


def captions(ending: str, cue: str) -> Callable[[int], Work]:
    head = "WEBVTT\n\n" if ending == "vtt" else ""
    matter = f"{_BOUT}sources: [../t.{ending}]\n---\n"

    def made(n: int) -> Work:
        cues = "".join(
            cue.replace("%", str(number)).replace("@", f"0{_clock(number)}").replace("$", f"0{_clock(number + 1)}")
            for number in range(n)
        )
        return _reads({"bouts/b.md": matter, f"t.{ending}": head + cues})

    return made


def retagging(n: int) -> Work:
    text = "".join(f"- 0:01 jab #jab {number}\n" for number in range(n))
    segments = [
        Segment(
            bout="b", file="b.md", line=line, last_line=line, kind="note", text="jab",
            tags=(Tag(written="jab", concept="jab", line=line, column=12),),
        )
        for line in range(1, n + 1)
    ]  # fmt: skip
    return lambda: retag(segments, {"b.md": text}, lambda segment, tag: "cross")


def talk(n: int) -> Work:
    """Words of a talk, each other than the one before."""
    known = known_words(_FIGHTERS, Vocabulary(concepts=(Concept(id="open-guard-bait", label="open-guard bait"),)))
    words = [f"brand all {_spelt(number)} open god bait".split() for number in range(n // 6)]
    return lambda: find_mishearings([word for piece in words for word in piece], known)


def meant_labels(n: int) -> Work:
    """Labels that a talk is held against."""
    known = known_words(_FIGHTERS, Vocabulary(concepts=tuple(Concept(id=f"c{k}", label=_spelt(k)) for k in range(n))))
    return lambda: find_mishearings(["brand", "all", "throws", "the", "open", "god", "bait"] * 10, known)


def _spelt(number: int) -> str:
    """A made word for a number."""
    return "".join(["bo", "de", "ki", "lu", "ma", "ne", "ro", "su", "ta", "vi"][int(digit)] for digit in f"{number:04}")


def editing(n: int) -> Work:
    text = "a line\n" * n
    return lambda: edits_of("b.md", text, [Span(7 * number, 7 * number, "x") for number in range(n)])


CASES = (
    Case("pairs of an align list", 500, align),
    Case("a chain of broader concepts", 500, chain),
    Case("a cycle of broader concepts", 2000, cycle),
    Case("concepts with one label", 500, shared_labels),
    Case("a text that begins labels", 2000, labels_of_one_word),
    Case("people in library.yaml", 200, people),
    Case("sources of a bout", 200, many_sources),
    Case("quoted phrases of a query", 20_000, query('"step out" ')),
    Case("names and quotes of a query", 20_000, query('"corvale" corvale ')),
    Case("labels of a query", 20_000, query("step out jab ")),
    Case("denials of a query", 20_000, query("not never without ")),
    Case("quotes that do not close", 20_000, query('"')),
    Case("hits folded (--limit)", 1000, folding),
    Case("hits spread (--spread)", 1000, spreading),
    Case("notes in a file", 300, lines_of("- 0:%1 she steps in #jab by:corvale")),
    Case("different tags in a note", 1000, different_tags),
    Case("headings", 1000, lines_of("## Round 2 %")),
    Case("stances", 300, lines_of("- 1:00 x stance:corvale=southpaw")),
    Case("rows of a table", 300, lines_of("| R1 | 2:10 | she steps in |")),
    Case("lines of a list in a list", 300, lines_of("- 1:00 x\n  - y")),
    Case("lists 40 levels deep", 500, lambda n: note("\n".join(f"{'  ' * (k % 40)}- 1:00 x" for k in range(n)))),
    Case("levels of a list on a line", 5000, lambda n: note("- " * n + "x")),
    Case("levels of quotes", 5000, lambda n: note("> " * n + "x")),
    Case("comments that do not end", 2000, lines_of("- 1:00 x <!-- y")),
    Case("levels of YAML, flow", 500, yaml(lambda n: "concepts: " + "[" * n + "]" * n)),
    Case("levels of YAML, block", 200, yaml(lambda n: "\n".join(" " * k + "a:" for k in range(n)))),
    Case("keys of YAML", 1000, yaml(lambda n: "\n".join(f"k{k}: v" for k in range(n)))),
    Case("a text of YAML", 20_000, yaml(lambda n: f"concepts: [{{id: a, definition: {'word ' * (n // 5)}}}]")),
    Case("YAML broken at each key", 500, yaml(lambda n: "\n".join(f"k{k}: [" for k in range(n)))),
    Case("aliases of aliases", 20, yaml(alias_bomb)),
    Case("cues, WebVTT", 500, captions("vtt", "@.000 --> $.000\nword % goes on\n\n")),
    Case("cues, SubRip", 500, captions("srt", "%\n@,000 --> $,000\nword % goes on\n\n")),
    Case("stamps of timed text", 1000, captions("txt", "[@] word %\n\n")),
    Case("cues of one long moment", 1000, captions("vtt", "00:01.000 --> 00:02.000\nword % goes on\n\n")),
    Case("timing lines alone", 1000, captions("srt", "@,000 --> $,000\n")),
    Case("lines of a cue", 2000, lambda n: captions("vtt", "@.000 --> $.000\n" + "word\n" * n)(1)),
    Case("tags rewritten", 500, retagging),
    Case("insertions", 1000, editing),
    Case("words of a talk", 1500, talk),
    Case("labels that a talk may mean", 1000, meant_labels),
    Case("words of a passage", 5000, lambda n: lambda: passages_of("word and then, " * n)),
    Case("a sentence without a stop", 2000, lambda n: lambda: negated_spans(f"{n} did not land " * n)),
    *(
        Case(f"a line of {piece!r}", 4000, line_of(piece))
        for piece in (
            "word ", "#jab ", "#jab-a ", "#jab( ", "#jab(by:corvale ", "by:corvale ", "by:nobody ", "(#jab) ",
            "*#jab* ", "[#jab] ", "((((", "[[[[", "](", "![", "`", "` ``", "*a _b ", "**", "_", "<a ", "</", "&",
            "&amp;",
            "\\", "1:", "0:41 ", "0:41-0:42 ", "R1 ", "R1 0:41 ", "Round ", "~", "* ", "| ", "||", ";", "1'10\" ", "@ ",
            "at ", "with ", " ", "\t", "\u00a0", "-", "—", "...", "e\u0301", "🥊", "http://a#b ", ":", "#", "##", "a-",
            "#a-", "#a_", "{", '"', "“", ", ", "1.", "<!--", "-->", "12", "1h", "ish ", "2:10 left ", "12,", "(?) ",
        )
    ),
)  # fmt: skip


def measured(case: Case) -> tuple[list[float], list[int]]:
    """Seconds at n, 2n and 4n, and bytes at the peak of n and 4n."""
    seconds, peaks = [], []
    for size in (case.size, 2 * case.size, 4 * case.size):
        work = case.made(size)
        taken: list[float] = []
        while len(taken) < 2 and sum(taken) < 0.5:
            gc.collect()
            begun = time.process_time()
            work()
            taken.append(time.process_time() - begun)
        seconds.append(min(taken))
        if size != 2 * case.size:
            tracemalloc.start()
            work()
            peaks.append(tracemalloc.get_traced_memory()[1])
            tracemalloc.stop()
    return seconds, peaks


def exponent(first: float, last: float) -> float:
    return math.log(last / first) / math.log(4)


if __name__ == "__main__":
    print(f"{'':34}{'n':>8}{'n':>9}{'2n':>9}{'4n':>9} ms{'exponent':>10}{'memory 4n':>11} MB{'exponent':>10}")
    for case in CASES:
        if sys.argv[1:] and not any(name in case.name for name in sys.argv[1:]):
            continue
        times, peaks = measured(case)
        steep, heavy = exponent(times[0], times[-1]), exponent(peaks[0], peaks[-1])
        shown = "".join(f"{1000 * each:9.1f}" for each in times)
        mark = "  steep" if max(steep, heavy) > STEEP else ""
        print(
            f"{case.name:34}{case.size:8}{shown}   {steep:10.2f}{peaks[-1] / 2**20:11.1f}   {heavy:10.2f}{mark}",
            flush=True,
        )
