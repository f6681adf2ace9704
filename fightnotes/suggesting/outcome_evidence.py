"""What speaks for each outcome of a note: what its words tell, what goes without saying, its phrases and its vector."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log

import numpy as np
from scipy.sparse import csr_array, hstack

from fightnotes.index.encoder import Vectors
from fightnotes.language.attribution import SaidAct
from fightnotes.model import OUTCOMES, Segment
from fightnotes.suggesting.word_space import WordSpace

_LEAST = 0.02
"""A probability is taken for no less than this, and for no more than what is left of it to 1."""
_MOST_CLAUSES = 6
_MOST_TAGS = 3
_OF_VECTORS = 2.0
"""Length of a note's vector among the rest of what speaks."""
_OF_PHRASES = 4.0
"""The same of its phrases."""
_TOKEN = re.compile(r"[^\W_]+(?:['’][^\W_]+)*|[^\w\s.,]")
"""A word, or a sign that is none of the commonest: an arrow, a tick."""
_SHORTEST = 1e-6
_FEW = 10
"""Notes as they mostly are, beside those of a bout of which the mean is taken."""
_TOLD = tuple(
    f"{kind} {outcome}" for outcome in OUTCOMES for kind in ("said", "usual", "of him", "of the other")
)  # fmt: skip
TOLD = (*_TOLD, "nothing", "odds said", "odds usual", "outcomes", "clauses", "actors", "tags")
"""Names of what is read from words and tags, by column."""
_COLUMN = {name: number for number, name in enumerate(TOLD)}


@dataclass(frozen=True)
class ToldOutcome:
    """What is read of how a note came out."""

    text: str
    value: str
    """What the words tell or goes without saying; empty where neither does."""
    probability: float
    in_words: bool
    acts: tuple[SaidAct, ...]
    actor: str | None
    """The fighter whose outcome it is, as far as he is known."""
    tags: int


@dataclass(frozen=True)
class NoteVectors:
    """The vectors of a library's timed notes, each less the mean of its bout: what an analyst's way of writing and the
    fighters' names give to all of them alike tells of no outcome."""

    rows: dict[str, int]
    """By the place of the note."""
    vectors: Vectors
    """Of the library's segments, shape (segments, dimension)."""
    means: dict[str, Vectors]
    """By bout."""

    def of(self, notes: Sequence[Segment]) -> Vectors:
        """Shape (notes, dimension), length 1."""
        if not notes:
            return self.vectors[:0]
        apart = self.vectors[[self.rows[note.place] for note in notes]] - [self.means[note.bout] for note in notes]
        unit: Vectors = apart / np.maximum(np.linalg.norm(apart, axis=1, keepdims=True), _SHORTEST)
        return unit


def note_vectors(segments: Sequence[Segment], vectors: Vectors, usual: Vectors) -> NoteVectors:
    """`vectors` are those of the segments' texts, `usual` the mean of many notes by other hands."""
    rows = {each.place: row for row, each in enumerate(segments) if each.kind == "note" and each.timed}
    of_bouts: dict[str, list[int]] = {}
    for row in rows.values():
        of_bouts.setdefault(segments[row].bout, []).append(row)
    means = {
        bout: (vectors[found].sum(axis=0) + _FEW * usual) / (len(found) + _FEW) for bout, found in of_bouts.items()
    }
    return NoteVectors(rows, vectors, means)


def phrases_of(text: str) -> tuple[str, ...]:
    """Its words and pairs of words, in small letters."""
    words = _TOKEN.findall(text.lower())
    return (*words, *(" ".join(pair) for pair in pairwise(words)))


def outcome_evidence(told: Sequence[ToldOutcome], phrases: WordSpace, vectors: Vectors | None) -> csr_array:
    """A row for each note: what is told (`TOLD`), a 1, its phrases, and its vector where there are vectors."""
    spoken = np.zeros((len(told), len(TOLD) + 1), dtype=np.float32)
    spoken[:, -1] = 1
    for row, one in zip(spoken, told, strict=True):
        for name, value in _spoken(one).items():
            row[_COLUMN[name]] = value
    worded = _OF_PHRASES * phrases.rows([phrases_of(one.text) for one in told])
    seen = () if vectors is None else (csr_array(_OF_VECTORS * vectors),)
    return csr_array(hstack((csr_array(spoken), worded, *seen), format="csr"))


def _spoken(told: ToldOutcome) -> dict[str, float]:
    his = {each.value for act in told.acts for each in act.outcomes if _is_his(act, told.actor)}
    others = {each.value for act in told.acts for each in act.outcomes if not _is_his(act, told.actor)}
    spoken = {f"of him {outcome}": 1.0 for outcome in his} | {f"of the other {outcome}": 1.0 for outcome in others}
    if told.value in OUTCOMES:
        kind = "said" if told.in_words else "usual"
        sure = min(max(told.probability, _LEAST), 1 - _LEAST)
        spoken |= {f"{kind} {told.value}": 1.0, f"odds {kind}": log(sure / (1 - sure)) / 2}
    else:
        spoken["nothing"] = 1.0
    return spoken | {
        "outcomes": len(his | others) / 2,
        "clauses": min(len(told.acts), _MOST_CLAUSES) / 3,
        "actors": len({act.by.fighter for act in told.acts if act.by}) / 2,
        "tags": min(told.tags, _MOST_TAGS) / 2,
    }


def _is_his(act: SaidAct, actor: str | None) -> bool:
    return act.by is None or actor is None or act.by.fighter == actor
