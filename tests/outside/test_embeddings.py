"""The exported encoder against sentence-transformers itself, and against human judgements of similarity.

Sources, all read from the installed package gensim (4.4.0) at test time:
- WordSim-353 (Finkelstein et al. 2002), `wordsim353.tsv`: 353 pairs of words with the mean of human scores.
- SimLex-999 (Hill, Reichart and Korhonen 2015), `simlex999.txt`: 999 pairs, likewise.
- Lee (Lee, Pincombe and Welsh 2005), `lee.cor` and `similarities0-1.txt`: 50 news texts and the upper triangle of a
  50 by 50 matrix, taken to be the human similarities (what else it could be is not said where it lies).
The three figures were measured with sentence-transformers and the base of the default model; statistics by scipy. The
factors that adapt it to the trade may cost 0.02 of each, and no more.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import pearsonr, spearmanr

from fightnotes.index.adaptation import adapt
from fightnotes.index.encoder import Encoder
from fightnotes.index.encoder_cache import ready_encoder
from fightnotes.index.local_store import LocalStore
from fightnotes.index.model_source import BASE_NAME, DEFAULT_WEIGHTS_SHA256, locate_model
from fightnotes.index.progress import Silent

TOLERANCE = 0.005
MAY_FALL = 0.02


@pytest.fixture(scope="module", params=[BASE_NAME, None], ids=["base", "adapted"])
def encoder(request: pytest.FixtureRequest, demo: Path) -> Encoder:
    """The base of the default model as it was published, and adapted to the trade."""
    return ready_encoder(locate_model(request.param, demo), Silent())


def check(encoder: Encoder, value: float, expected: float) -> None:
    if "+" in encoder.card.identity:
        assert value >= expected - MAY_FALL
    else:
        assert value == pytest.approx(expected, abs=TOLERANCE)


def data(name: str) -> Path:
    spec = importlib.util.find_spec("gensim")  # the package's folder; importing it would need all that it needs
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "test/test_data" / name


def pairs(name: str) -> tuple[list[str], list[str], list[float]]:
    rows = [line.split("\t") for line in data(name).read_text(encoding="utf-8").splitlines() if line[:1] != "#"]
    return [row[0] for row in rows], [row[1] for row in rows], [float(row[2]) for row in rows]


@pytest.mark.parametrize(
    ("name", "count", "expected"), [("wordsim353.tsv", 353, 0.7289), ("simlex999.txt", 999, 0.4462)]
)
def test_pairs_of_words_are_ranked_as_people_rank_them(
    encoder: Encoder, name: str, count: int, expected: float
) -> None:
    first, second, human = pairs(name)
    assert len(human) == count
    cosines = (encoder.encode(first) * encoder.encode(second)).sum(axis=1)
    check(encoder, spearmanr(cosines, human).statistic, expected)


def test_pairs_of_texts_are_alike_as_people_find_them(encoder: Encoder) -> None:
    texts = data("lee.cor").read_text(encoding="latin-1").splitlines()
    human = np.loadtxt(data("similarities0-1.txt"))
    assert human.shape == (len(texts), len(texts)) == (50, 50)
    vectors = encoder.encode(texts)
    above = np.triu_indices(50, k=1)
    cosines = (vectors @ vectors.T)[above]
    assert len(cosines) == 1225
    check(encoder, pearsonr(cosines, human[above]).statistic, 0.6564)


def test_vectors_are_those_of_sentence_transformers(encoder: Encoder, demo: Path) -> None:
    """On 500 texts: notes of the demo, single words, sentences of news, and texts longer than the model reads."""
    from sentence_transformers import SentenceTransformer

    news = data("lee_background.cor").read_text(encoding="latin-1").splitlines()
    notes = list(dict.fromkeys(segment.text for segment in LocalStore(demo).every_segment().values()))
    sentences = [sentence for text in news for sentence in text.split(". ")]
    odd = ["", " ", "🥊🥊", "Ljungskär – Iturbeña", "右ストレート", "\t\n", "A" * 3000, "jab " * 600]
    texts = [*odd, *news[:42], *notes[:250], *pairs("simlex999.txt")[0][:50], *sentences[:150]]
    assert len(texts) == 500
    model = SentenceTransformer(locate_model(None, demo).name, device="cpu")
    if "+" in encoder.card.identity:
        adapt(model[0].get_submodule("auto_model"), DEFAULT_WEIGHTS_SHA256)
    theirs = model.encode(texts, normalize_embeddings=True, show_progress_bar=False)
    assert (encoder.encode(texts) * theirs).sum(axis=1).min() >= 0.9999
