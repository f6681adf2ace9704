"""WordNet's senses of fighting as a library, each sense sought by its words.

Source: WordNet 3.0 (Fellbaum 1998; Princeton University), as Debian's package wordnet-base has it. The files' format
is wndb(5WN): offset, file number, type, words, pointers, then the gloss. A pointer `;c` names a topic, `~` a
narrower sense; narrower instances (`~i`, which are people's names) are left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from ir_measures import RR, iter_calc

from fightnotes.index.store import Store
from fightnotes.language.words import words_of
from tests.judged.evaluation import SYSTEMS

WORDNET = Path("/usr/share/wordnet")
PARTS = {"n": "data.noun", "v": "data.verb", "a": "data.adj", "r": "data.adv"}
TOPICS = ("boxing", "wrestling", "fencing")
ABOVE = {
    "n": ("boxing", "wrestling", "martial art", "fencing", "blow", "combat", "counterpunch"),
    "v": ("contend", "hit", "parry", "clinch", "dodge"),
}
"""First words of the senses whose narrower ones are taken in beside those of the topics."""
ABOVE_GLOSSES = re.compile(r"fist|fight|opponent|sword|unarmed|self-defense|deal a blow|boxer|boxing")
"""And what the gloss must say: 'blow' is a gust of wind, too."""
NOTES_FILE = "bouts/senses.md"
FIRST_LINE = 4


@dataclass(frozen=True)
class Sense:
    words: tuple[str, ...]
    gloss: str
    pointers: tuple[tuple[str, str], ...]
    """Symbol and the sense that it leads to."""
    topical: bool = False


def read_senses() -> dict[str, Sense]:
    """Every sense of WordNet, by part of speech and offset."""
    senses: dict[str, Sense] = {}
    for part, name in PARTS.items():
        for line in (WORDNET / name).read_text(encoding="latin-1").splitlines():
            if line.startswith(" "):  # the licence
                continue
            head, _, gloss = line.partition(" | ")
            offset, _, _, word_count, *fields = head.split()
            stop = 2 * int(word_count, 16)
            words = tuple(word.partition("(")[0].replace("_", " ") for word in fields[:stop:2])
            pointers = fields[stop + 1 : stop + 1 + 4 * int(fields[stop])]
            leads = zip(pointers[::4], pointers[1::4], pointers[2::4], strict=True)
            senses[part + offset] = Sense(words, gloss.strip(), tuple((symbol, to + at) for symbol, at, to in leads))
    return senses


def fighting_senses() -> list[Sense]:
    """Those whose topic is boxing, wrestling or fencing, and those of fighting beside them."""
    senses = read_senses()
    topics = {key for key, sense in senses.items() if key[0] == "n" and sense.words[0] in TOPICS}
    topical = [
        key for key, sense in senses.items() if any(symbol == ";c" and to in topics for symbol, to in sense.pointers)
    ]
    roots = [
        key
        for key, sense in senses.items()
        if set(sense.words) & set(ABOVE.get(key[0], ())) and ABOVE_GLOSSES.search(sense.gloss)
    ]
    beside = [key for root in roots for key in (root, *_narrower(root, senses))]
    return [
        Sense(senses[key].words, senses[key].gloss, (), key in topical) for key in dict.fromkeys((*topical, *beside))
    ]


def _narrower(key: str, senses: Mapping[str, Sense]) -> Iterator[str]:
    for symbol, to in senses[key].pointers:
        if symbol == "~":
            yield to
            yield from _narrower(to, senses)


def without_words(sense: Sense) -> str:
    """The gloss with the sense's own words struck out, in any inflection that has the same stem."""
    kept = sense.gloss
    for lemma in sorted(sense.words, key=len, reverse=True):
        wanted = [word.stem for word in words_of(lemma)]
        words = words_of(kept)
        spans = [
            (words[at].begin, words[at + len(wanted) - 1].stop)
            for at in range(len(words) - len(wanted) + 1)
            if [word.stem for word in words[at : at + len(wanted)]] == wanted
        ]
        for begin, stop in reversed(spans):
            kept = kept[:begin] + kept[stop:]
    return " ".join(re.sub(r"[`*_#<>\[\]\\|~:&]", " ", kept).split())


def library_files(senses: Sequence[Sense]) -> dict[str, str]:
    """One bout whose notes are the glosses, a minute apart."""
    notes = [f"- {minute}:00 {without_words(sense)}" for minute, sense in enumerate(senses)]
    return {NOTES_FILE: "\n".join(["---", "bout: senses", "---", *notes]) + "\n"}


def queries(senses: Sequence[Sense], *, topical: bool) -> dict[str, dict[str, int]]:
    """For each word, the lines of the glosses of its senses; of the senses of the three topics alone, if so wanted."""
    asked = dict.fromkeys(word for sense in senses if sense.topical or not topical for word in sense.words)
    return {word: {str(FIRST_LINE + at): 1 for at, sense in enumerate(senses) if word in sense.words} for word in asked}


def mean_reciprocal_ranks(store: Store, sought: Mapping[str, Mapping[str, int]]) -> dict[str, float]:
    """For each system; RR by the package ir_measures, a query without an answer counting as 0."""
    means: dict[str, float] = {}
    for name, ranking in SYSTEMS.items():
        answers = {word: [int(place.rpartition(":")[2]) for place in ranking(store, word)] for word in sought}
        run = {word: {str(line): 1 / rank for rank, line in enumerate(lines, 1)} for word, lines in answers.items()}
        ranks = {one.query_id: one.value for one in iter_calc([RR], sought, run)}
        means[name] = sum(ranks.values()) / len(sought)
    return means


def print_table(store: Store, senses: Sequence[Sense]) -> None:
    print(f"{len(senses)} senses; mean reciprocal rank of a word's own gloss, the word struck out")
    print(f"{'':28}{'queries':>9}" + "".join(f"{name:>16}" for name in SYSTEMS))
    for title, topical in (("boxing, wrestling, fencing", True), ("all senses of fighting", False)):
        sought = queries(senses, topical=topical)
        means = mean_reciprocal_ranks(store, sought)
        print(f"{title:28}{len(sought):9}" + "".join(f"{mean:16.3f}" for mean in means.values()))
