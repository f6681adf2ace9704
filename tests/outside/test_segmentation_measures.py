"""How the moments of talk are measured, and the depth scores that they rest on, against the papers and other programs.

Sources
- Pk: D. Beeferman, A. Berger and J. Lafferty, Statistical Models for Text Segmentation, Machine Learning 34 (1999), 4:
  the share of pairs of words, half a true segment apart, of which two segmentations say differently whether they lie
  together. WindowDiff: L. Pevzner and M. Hearst, A Critique and Improvement of an Evaluation Metric for Text
  Segmentation, Computational Linguistics 28 (2002), 3: what a miss and what a false boundary cost in Pk, and that in
  WindowDiff both cost the same. Both from memory; the costs were counted by hand on what is drawn there.
- Boundary similarity: C. Fournier, Evaluating Text Segmentation using Boundary Edit Distance, ACL 2013, 4, from memory:
  B = 1 - (additions + transpositions, each by how far it goes over n) / (additions + transpositions + matches).
- nltk (nltk.metrics.segmentation, nltk.tokenize.texttiling) and segeval 2.0.11, two programs by different hands.
- Depth scores: M. Hearst, TextTiling, Computational Linguistics 23 (1997), 5.3, as nltk has them.
"""

from __future__ import annotations

import random

import nltk
import pytest
import segeval
from nltk.tokenize.texttiling import TextTilingTokenizer

from fightnotes.audit.agreement.boundaries import boundary_scores
from fightnotes.language.cohesion import depths_of
from tests.bench.talk_moments import NEAR, masses, measured

WORDS = 400


def segmentation(dice: random.Random, moments: int) -> list[int]:
    return [0, *sorted(dice.sample(range(1, WORDS), moments - 1))]


def gaps(starts: list[int], words: int = WORDS) -> str:
    """One sign for each gap between two words, as nltk takes them."""
    return "".join("1" if place in starts else "0" for place in range(1, words))


@pytest.mark.parametrize("seed", range(25))
def test_pk_and_window_diff_as_nltk_counts_them(seed: int) -> None:
    dice = random.Random(seed)
    found, true = (segmentation(dice, dice.randint(2, 30)) for _ in range(2))
    window = max(2, round(WORDS / len(true) / 2))
    pk, window_diff, _ = measured(found, true, WORDS)
    assert pk == pytest.approx(nltk.pk(gaps(true), gaps(found), k=window))
    assert window_diff == pytest.approx(nltk.windowdiff(gaps(true), gaps(found), k=window))


@pytest.mark.parametrize(
    ("found", "pk", "window_diff"),
    [
        ([0, 20, 40, 60], 0, 0),
        ([0, 20, 60], 10, 10),  # a boundary missed: every window that holds it
        ([0, 20, 40, 50, 60], 10, 10),  # a false one in mid-segment, half a window from no other
        ([0, 20, 23, 40, 60], 3, 10),  # one near a true one: Pk sees it only where no window holds both
        ([0, 20, 43, 60], 6, 6),  # a near miss by 3: the windows that hold one of the two
    ],
)
def test_what_pevzner_and_hearst_say_that_errors_cost(found: list[int], pk: int, window_diff: int) -> None:
    """Segments of 20 words, a window of 10, 70 windows."""
    got = measured(found, [0, 20, 40, 60], 80)
    assert got[:2] == pytest.approx((pk / 70, window_diff / 70))


def test_pk_of_no_boundary_and_of_all() -> None:
    """Beeferman, Berger and Lafferty: both come out at about a half where segments are of one length."""
    true = list(range(0, WORDS, 20))
    assert measured([0], true, WORDS)[0] == pytest.approx(0.5, abs=0.02)
    assert measured(list(range(WORDS)), true, WORDS)[0] == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize(
    ("found", "similarity"),
    [
        ([0, 20, 40], 1),
        ([0, 20], 1 - 1 / 2),  # a match and an addition
        ([0, 20, 45], 1 - 5 / (NEAR + 1) / 2),  # a match and a near miss by five words
        ([0, 9, 40], 1 - 2 / 3),  # eleven words off is no near miss but two additions
        ([0, 20, 30, 40], 1 - 1 / 3),
    ],
)
def test_boundary_similarity_by_fourniers_formula(found: list[int], similarity: float) -> None:
    assert measured(found, [0, 20, 40], 60)[2] == pytest.approx(similarity)


@pytest.mark.parametrize("seed", range(10))
def test_boundary_similarity_as_the_agreement_of_analysts_has_it(seed: int) -> None:
    dice = random.Random(seed)
    found, true = segmentation(dice, 12), segmentation(dice, 12)
    ours = boundary_scores(found[1:], true[1:], NEAR)
    assert measured(found, true, WORDS)[2] == pytest.approx(float(sum(ours) / len(ours)))


def test_masses() -> None:
    assert masses([0, 3, 10], 12) == (3, 7, 2) == segeval.convert_positions_to_masses([1] * 3 + [2] * 7 + [3] * 2)


@pytest.mark.parametrize("seed", range(10))
def test_depth_scores_as_nltk_has_them(seed: int) -> None:
    """nltk leaves out up to five gaps at each end."""
    dice = random.Random(seed)
    likeness = [dice.random() for _ in range(60)]
    theirs = TextTilingTokenizer(stopwords=[])._depth_scores(likeness)
    assert depths_of(likeness)[5:-5] == pytest.approx(theirs[5:-5])
