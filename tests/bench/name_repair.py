"""Names and trade words repaired in the judged talks: python -m tests.bench.name_repair [--each]

Of each talk all mishearings are known (`tests/judged/talks.py`). They are looked for with the forms that the library
lists as misheard, with every other one of them (half), and with none (cold). A repair is right where the judged one has
the same words and the same is put there, compared folded and by stem, the possessive too. `sure` are those that are
applied, `asked` those with what a person is asked about. Limits and weights were set on the demo; talks of other
libraries are reported. Last come texts that hold none of the names, the Lee corpus of news, against all names and the
vocabulary of the demo. `--each` names every one that is missed or wrong.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import gensim

from fightnotes.language.known_words import KnownWords, known_words
from fightnotes.language.mishearings import Mishearing, find_mishearings
from fightnotes.language.words import stems_of
from fightnotes.model import Fighter, Vocabulary
from fightnotes.reading.library import LibraryReading, find_root, read_library
from tests.judged.talks import ROOT, TALKS, Misheard, load_talk, words_of

DEMO = ROOT / "corpus_demo"
LEE = Path(gensim.__file__).parent / "test" / "test_data" / "lee_background.cor"
STEPS = {"listed": 1, "half": 2, "cold": 0}
"""Of the listed forms every n-th is left; none for 0."""
LEAST_PRECISION, LEAST_RECALL = 0.97, 0.8
Place = tuple[int, int]


@dataclass(frozen=True)
class JudgedRepairs:
    """Of one talk, by the index of the first and of the last word."""

    words: Sequence[str]
    judged: dict[Place, Misheard]
    found: dict[Place, Mishearing]
    names: frozenset[str]
    """Stems of the words of the fighters' names."""

    def is_name(self, place: Place) -> bool:
        if place in self.judged:
            return not self.names.isdisjoint(stems_of(self.judged[place].meant))
        return self.found[place].fighter is not None

    def right(self, place: Place) -> bool:
        return place in self.judged and place in self.found and _same(self.found[place].meant, self.judged[place].meant)


def _same(one: str, other: str) -> bool:
    return stems_of(one) == stems_of(other) and one.endswith(("'s", "’s")) == other.endswith(("'s", "’s"))


def with_forms(listed: Sequence[str], step: int) -> tuple[str, ...]:
    return tuple(listed[::step]) if step else ()


def known_with(fighters: Iterable[Fighter], vocabulary: Vocabulary, step: int) -> KnownWords:
    """With every `step`-th of the listed forms."""
    people = [each.model_copy(update={"misheard": with_forms(each.misheard, step)}) for each in fighters]
    concepts = (one.model_copy(update={"misheard": with_forms(one.misheard, step)}) for one in vocabulary.concepts)
    terms = (one.model_copy(update={"misheard": with_forms(one.misheard, step)}) for one in vocabulary.terms)
    return known_words(people, Vocabulary(concepts=tuple(concepts), terms=tuple(terms)))


def repairs_of(path: Path, reading: LibraryReading, step: int) -> JudgedRepairs:
    talk = load_talk(path)
    file = (ROOT / talk.file).relative_to(reading.root).as_posix()
    (bout,) = (bout for bout in reading.bouts if file in bout.files)
    words = words_of(talk.file)
    found = find_mishearings(words, known_with(bout.fighters, reading.vocabulary, step))
    return JudgedRepairs(
        words,
        {(each.first, each.last): each for each in talk.misheard},
        {(each.first, each.last): each for each in found},
        frozenset(stem for fighter in bout.fighters for stem in stems_of(fighter.name)),
    )


def measures(talks: Sequence[JudgedRepairs], names: bool, sure: bool) -> tuple[int, int, int]:
    """How many are right, found, and judged."""
    right = found = judged = 0
    for talk in talks:
        places = [place for place, each in talk.found.items() if each.sure or not sure]
        found += sum(talk.is_name(place) == names for place in places)
        right += sum(talk.is_name(place) == names and talk.right(place) for place in places)
        judged += sum(talk.is_name(place) == names for place in talk.judged)
    return right, found, judged


def print_talks(title: str, paths: Sequence[Path], root: Path, each: bool) -> None:
    reading = read_library(root)
    print(f"\n{title}: {len(paths)} talks")
    print(f"{'':24}{'sure: precision':>17}{'recall':>17}{'asked: precision':>20}{'recall':>17}")
    for share, step in STEPS.items():
        talks = [repairs_of(path, reading, step) for path in paths]
        counts = {(names, sure): measures(talks, names, sure) for names in (True, False) for sure in (True, False)}
        rows = {"names": [True], "terms": [False], "both": [True, False]}
        for what, kinds in rows.items():
            cells = ""
            for sure in (True, False):
                right, found, judged = map(sum, zip(*(counts[names, sure] for names in kinds), strict=True))
                cells += f"{_share(right, found):>18}{_share(right, judged):>18}"
            print(f"  {share:12}{what:10}{cells}")
        if each:
            print("\n".join(line for talk in talks for line in _wrong(talk)))


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.3f} ({part}/{whole})" if whole else "-"


def _wrong(talk: JudgedRepairs) -> Iterator[str]:
    for place in sorted(talk.found.keys() | talk.judged.keys()):
        found, judged = talk.found.get(place), talk.judged.get(place)
        if not talk.right(place) or not (found and found.sure):
            first, last = place
            text = " ".join([*talk.words[max(0, first - 3) : first], "[", *talk.words[first : last + 1], "]"])
            text += " " + " ".join(talk.words[last + 1 : last + 4])
            is_ = f"{found.meant} {found.score} {'sure' if found.sure else 'asked'} {found.reasons}" if found else "-"
            print(f"      {text} | judged {judged.meant if judged else '-'} | found {is_}")
    yield from ()


def print_news(each: bool) -> None:
    """Each document is a talk."""
    reading = read_library(DEMO)
    people = {fighter.id: fighter for bout in reading.bouts for fighter in bout.fighters}
    documents = [text.split() for text in LEE.read_text(encoding="utf-8", errors="replace").split("\n")]
    print(f"\nnews: {sum(map(len, documents))} words, {len(people)} names")
    for share, step in STEPS.items():
        known = known_with(people.values(), reading.vocabulary, step)
        found = [(words, one) for words in documents for one in find_mishearings(words, known)]
        sure = [(words, one) for words, one in found if one.sure]
        print(
            f"  {share:12}sure {len(sure)}, listed {sum(one.listed for _, one in sure)}, asked {len(found) - len(sure)}"
        )
        for words, one in found if each else ():
            text = " ".join(words[max(0, one.first - 3) : one.last + 4])
            print(f"      {one.heard} -> {one.meant} {one.score} {'SURE' if one.sure else ''} {one.reasons} | {text}")


def main() -> None:
    each = "--each" in sys.argv[1:]
    libraries: dict[Path, list[Path]] = {}
    for path in TALKS:
        libraries.setdefault(find_root((ROOT / load_talk(path).file).parent), []).append(path)
    for root, paths in sorted(libraries.items(), key=lambda item: item[0] != DEMO):
        name = root.relative_to(ROOT).as_posix()
        print_talks(f"{name} ({'tuned on' if root == DEMO else 'reported'})", paths, root, each and root == DEMO)
    print_news(each)


if __name__ == "__main__":
    main()
