"""The weights that a library without tags of its own begins with; see `model` for how they were made."""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.model import Weights

_BIAS = -5.3172
_TABLE = {
    "label": (0.0063, 0.0791, 0.0894),
    "label_words": (0.0188, 0.0541, 0.2527),
    "definition_words": (0.0237, 0.0514, 0.5198),
    "meaning": (0.2462, 0.1080, -0.2718),
    "meaning_above_others": (-0.0000, 0.0840, 0.4725),
    "pairing_differs": (0.0067, 0.0818, -0.4010),
    "regression": (0.0157, 0.0621, 0.5500),
    "regression_log": (-4.1933, 0.8448, -0.0248),
    "regression_below_best": (-0.2385, 0.2122, 0.7998),
    "prior": (-4.4882, 1.1960, 0.0543),
}
"""By kind of evidence: centre, scale and weight."""


def default_weights() -> Weights:
    centre, scale, weight = (np.array(column) for column in zip(*_TABLE.values(), strict=True))
    return Weights(tuple(_TABLE), centre, scale, weight, _BIAS)
