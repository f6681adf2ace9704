"""How a note comes out: one regression over all that speaks, drawn towards weights that are shipped.

The shipped weights were fitted by `python -m tests.bench.outcome_fit` on the notes of many hands. A library whose notes
have outcomes moves them: what one analyst calls `partial` is `landed` to another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
from safetensors import safe_open
from scipy.optimize import minimize
from scipy.sparse import csr_array
from scipy.special import log_softmax, softmax

from fightnotes.index.encoder import Vectors
from fightnotes.model import OUTCOMES
from fightnotes.suggesting.word_space import WordSpace

Doubles = npt.NDArray[np.float64]
WEIGHTS_FILE = Path(__file__).with_name("outcome_weights.safetensors")
"""`with_vectors` and `without_vectors`, each of shape (evidence, classes) and half precision; `rarity`, by phrase;
`usual`, the mean vector of the notes of many hands. The metadata has the phrases, a line each, and the encoder of the
vectors."""
CLASSES = (*OUTCOMES, "several", "none")
"""An outcome alone, more than one, or none that the words tell."""
_PRECISION = 0.3
"""Of the normal prior around the shipped weights, for a library's own; chosen on the tuned bouts and hands of
`tests/bench/field_suggestions.py`."""


@dataclass(frozen=True)
class OutcomeWeights:
    table: Doubles
    """Shape (evidence, len(CLASSES))."""

    def probabilities(self, evidence: csr_array) -> Doubles:
        """Of each outcome alone, shape (notes, len(OUTCOMES)): what is left of 1 is for several, or for none."""
        found: Doubles = softmax(evidence @ self.table, axis=1)[:, : len(OUTCOMES)]
        return found


@dataclass(frozen=True)
class ShippedWeights:
    with_vectors: OutcomeWeights
    without_vectors: OutcomeWeights
    """Of words and tags alone, where a library has another model."""
    phrases: WordSpace
    usual: Vectors
    """The mean vector of notes by many hands, shape (dimension,)."""
    encoder: str
    """Identity of the model of which the vectors are."""


@cache
def shipped_weights() -> ShippedWeights:
    with safe_open(WEIGHTS_FILE, framework="numpy") as kept:
        seen, blind = (kept.get_tensor(name).astype(np.float64) for name in ("with_vectors", "without_vectors"))
        about = kept.metadata() or {}
        column = {phrase: number for number, phrase in enumerate(about["phrases"].split("\n"))}
        phrases = WordSpace(column, kept.get_tensor("rarity"))
        usual = kept.get_tensor("usual")
        return ShippedWeights(OutcomeWeights(seen), OutcomeWeights(blind), phrases, usual, about["encoder"])


def learn(start: OutcomeWeights, evidence: csr_array, outcomes: Sequence[tuple[str, ...]]) -> OutcomeWeights:
    """The weights of a library in which these are the outcomes of notes; one of its own teaches nothing."""
    known = [number for number, each in enumerate(outcomes) if len(each) != 1 or each[0] in OUTCOMES]
    if not known:
        return start
    wanted = np.array([class_of(outcomes[number]) for number in known])
    return OutcomeWeights(fit(evidence[known], wanted, start.table, _PRECISION))


def class_of(outcomes: tuple[str, ...]) -> int:
    """Column of `CLASSES`. Raises ValueError for an outcome of a library's own."""
    return CLASSES.index(outcomes[0] if len(outcomes) == 1 else "several" if outcomes else "none")


def fit(
    evidence: csr_array,
    wanted: npt.NDArray[np.int64],
    start: Doubles,
    precision: float,
) -> Doubles:
    """Weights of the greatest posterior probability: multinomial logistic regression, a normal prior around `start`.

    `wanted` are columns of the classes.
    """
    x = csr_array(evidence, dtype=np.float64)
    is_wanted = np.eye(start.shape[1])[wanted]

    def loss(flat: Doubles) -> tuple[float, Doubles]:
        table = flat.reshape(start.shape)
        logs = log_softmax(x @ table, axis=1)
        away = table - start
        value = precision / 2 * (away**2).sum() - logs[np.arange(len(wanted)), wanted].sum()
        slope = x.T @ (np.exp(logs) - is_wanted) + precision * away
        return float(value), slope.ravel()

    found: Doubles = minimize(loss, start.ravel(), jac=True, method="L-BFGS-B").x
    return found.reshape(start.shape)
