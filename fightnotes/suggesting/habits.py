"""Which share of the true tags an analyst writes down, and what that leaves for a pair that has none.

With c the share that is written, a pair that is true with probability p is written with p c, and one that is not
written is true with p (1 - c) / (1 - p c) (Elkan and Noto 2008, "Learning classifiers from only positive and unlabeled
data"). There c is one number; here it is one for each analyst and for what the text says by a label and what it does
not, as one leaves out the obvious and another what is hard to tell.

A tagged note is known by a tag that it has, which therefore cannot count. Each tag in turn is taken as given, and c
is what explains best which of the other pairs of its note are written.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.sparse import csr_array

from fightnotes.suggesting.evidence import KINDS, evidence_of, near_tag
from fightnotes.suggesting.examples import Examples, Matrix
from fightnotes.suggesting.material import Flags, Material, Numbers
from fightnotes.suggesting.model import Doubles, Weights
from fightnotes.suggesting.undone import only_undone

USUAL = (0.8, 0.6)
"""The shares of an analyst of whom nothing is known: of what no label says, and of what one says."""
DRAWN = 20.0
"""Pairs sure to be true that count as much as what is known beforehand: each analyst is drawn towards the library, the
library towards what is usual."""
FEWEST, MOST = 0.01, 0.98
"""Shares that are taken for possible: nobody writes down everything."""
MOST_ASKED = 1000
"""Tagged segments that are asked; of more, a fixed sample."""
_SEED = 20310308
_LEAST = 1e-6


@dataclass(frozen=True)
class TagHabits:
    """Shares written, shape (2,): of what no label says, and of what one says."""

    anyone: Doubles
    by_analyst: dict[str | None, Doubles]

    def written(self, material: Material, rows: Numbers) -> Matrix:
        """Of each pair, shape (len(rows), concepts)."""
        shares = np.array(
            [self.by_analyst.get(material.segments[row].analyst, self.anyone) for row in rows], dtype=np.float32
        ).reshape(len(rows), 2)
        said = material.labels[rows].toarray() > 0
        written: Matrix = np.where(said, shares[:, 1:], shares[:, :1])
        return written


@dataclass(frozen=True)
class _BesideTags:
    """Pairs beside a given tag."""

    note: Numbers
    """Its place among the tagged segments."""
    probability: Doubles
    tagged: Flags
    said: Flags

    def where(self, chosen: Flags) -> _BesideTags:
        return _BesideTags(self.note[chosen], self.probability[chosen], self.tagged[chosen], self.said[chosen])


def habits_of(material: Material, rows: Numbers, examples: Examples, weights: Weights) -> TagHabits:
    """What the tagged segments among `rows` show."""
    tagged = rows[material.tagged[rows]]
    if len(tagged) > MOST_ASKED:
        tagged = np.sort(np.random.default_rng(_SEED).choice(tagged, MOST_ASKED, replace=False))
    pairs = _beside_tags(material, tagged, examples, weights)
    anyone = _shares(pairs, np.array(USUAL))
    who = [material.segments[row].analyst for row in tagged]
    number = {analyst: place for place, analyst in enumerate(dict.fromkeys(who))}
    whose = np.array([number[analyst] for analyst in who], dtype=np.int64)[pairs.note]
    return TagHabits(anyone, {analyst: _shares(pairs.where(whose == n), anyone) for analyst, n in number.items()})


def _beside_tags(material: Material, tagged: Numbers, examples: Examples, weights: Weights) -> _BesideTags:
    """Of each tag of each segment, the other pairs of the segment that it does not settle."""
    tags = material.tags[tagged]
    places = np.repeat(np.arange(len(tagged)), np.diff(tags.indptr))
    ones = np.ones(len(places), dtype=np.float32)
    given = csr_array((ones, (np.arange(len(places)), tags.indices)), shape=(len(places), tags.shape[1]))
    evidence = evidence_of(material, tagged, examples)[:, places]
    evidence[KINDS.index("near_tag")] = near_tag(material, tagged[places], given)
    true = tags.toarray() > 0
    settled = (material.covered[tagged].toarray() > 0) & ~true | only_undone(material, tagged)
    open_ = ~settled[places] & (given.toarray() == 0)
    return _BesideTags(
        np.broadcast_to(places[:, None], open_.shape)[open_],
        weights.probabilities(evidence)[open_].astype(np.float64),
        true[places][open_],
        (material.labels[tagged].toarray() > 0)[places][open_],
    )


def _shares(pairs: _BesideTags, before: Doubles) -> Doubles:
    both = (pairs.where(~pairs.said), pairs.where(pairs.said))
    return np.array([_share(kind, float(known)) for kind, known in zip(both, before, strict=True)])


def _share(pairs: _BesideTags, before: float) -> float:
    """The c of the greatest posterior probability: written pairs have p c, the others 1 - p c, and c itself a beta
    distribution around `before`. The slope of its logarithm falls all the way."""
    written = int(pairs.tagged.sum()) + DRAWN * before
    others = pairs.probability[~pairs.tagged]

    def slope(c: float) -> float:
        return float(written / c - (others / (1 - others * c)).sum() - DRAWN * (1 - before) / (1 - c))

    if slope(FEWEST) <= 0:
        return FEWEST
    return MOST if slope(MOST) >= 0 else float(brentq(slope, FEWEST, MOST))


def still_true(material: Material, rows: Numbers, found: Matrix, habits: TagHabits) -> Matrix:
    """How probable each pair is when it is not written, from how probable it is, written or not.

    A note that its analyst passed over is as likely to hold something as before: what it holds moves from what would
    have been written to what would not. In other segments without tags nobody may have looked, and nothing moves.
    """
    written = habits.written(material, rows)
    rest: Matrix = found * (1 - written) / (1 - found * written)
    bare = ~material.tagged[rows]
    rest[bare] *= (_any(found[bare]) / np.maximum(_any(rest[bare]), _LEAST))[:, None]
    unseen = bare & ~material.passed_over[rows]
    rest[unseen] = found[unseen]
    return rest


def _any(found: Matrix) -> Matrix:
    """That one or more of a row is true, each being true by itself."""
    one: Matrix = -np.expm1(np.log1p(-np.minimum(found, np.float32(1 - _LEAST))).sum(axis=1))
    return one
