"""The weights that a library without tags of its own begins with; see `model` for how they were made."""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.model import Weights

_TEXT_BIAS = -5.0923
_TEXT = {
    "label": (0.0063, 0.0793, 0.0862),
    "label_words": (0.0187, 0.0539, 0.4746),
    "definition_words": (0.0235, 0.0512, 0.1778),
    "meaning": (0.1927, 0.1082, 0.1816),
    "meaning_above_others": (-0.0000, 0.1018, 0.6457),
    "below_sibling": (-0.0882, 0.1248, 0.5490),
    "pairing_differs": (0.0067, 0.0818, -0.3499),
}
_WHOLE_BIAS = -5.9088
_WHOLE = {
    "label": (0.0063, 0.0793, 0.0848),
    "label_words": (0.0187, 0.0539, 0.0806),
    "definition_words": (0.0235, 0.0512, 0.2972),
    "meaning": (0.1927, 0.1082, 0.1822),
    "meaning_above_others": (-0.0000, 0.1018, 0.2193),
    "below_sibling": (-0.0882, 0.1248, 0.4121),
    "pairing_differs": (0.0067, 0.0818, -0.4388),
    "regression": (0.0252, 0.0711, 0.5083),
    "regression_log": (-3.9487, 0.9128, 0.2176),
    "regression_below_best": (-0.3310, 0.1914, 0.8050),
    "near_tag": (0.0909, 0.1598, -0.4119),
}
"""Of all evidence."""


def text_weights() -> Weights:
    return _weights(_TEXT, _TEXT_BIAS)


def default_weights() -> Weights:
    return _weights(_WHOLE, _WHOLE_BIAS)


def _weights(table: dict[str, tuple[float, float, float]], bias: float) -> Weights:
    centre, scale, weight = (np.array(column) for column in zip(*table.values(), strict=True))
    return Weights(tuple(table), centre, scale, weight, bias)
