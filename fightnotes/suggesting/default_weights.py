"""The weights that a library without tags of its own begins with; see `model` for how they were made."""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.model import Weights

_TEXT_BIAS = -4.8622
_TEXT = {
    "label": (0.0063, 0.0793, 0.2795),
    "label_words": (0.0186, 0.0539, 0.4483),
    "definition_words": (0.0234, 0.0511, 0.2345),
    "meaning": (0.1927, 0.1082, 0.4593),
    "meaning_above_others": (-0.0000, 0.1018, 0.4119),
    "below_sibling": (-0.0881, 0.1247, 0.4349),
    "pairing_differs": (0.0067, 0.0818, -0.3735),
}
_WHOLE_BIAS = -5.4628
_WHOLE = {
    "label": (0.0063, 0.0793, 0.1816),
    "label_words": (0.0186, 0.0539, 0.0331),
    "definition_words": (0.0234, 0.0511, 0.3149),
    "meaning": (0.1927, 0.1082, 0.4671),
    "meaning_above_others": (-0.0000, 0.1018, -0.0964),
    "below_sibling": (-0.0881, 0.1247, 0.2477),
    "pairing_differs": (0.0067, 0.0818, -0.4699),
    "regression": (0.0326, 0.0788, 0.6009),
    "regression_log": (-3.7947, 0.9724, 0.2591),
    "regression_below_best": (-0.3641, 0.1974, 0.7131),
    "near_tag": (0.0332, 0.0957, -0.2104),
}
"""Of all evidence."""


def text_weights() -> Weights:
    return _weights(_TEXT, _TEXT_BIAS)


def default_weights() -> Weights:
    return _weights(_WHOLE, _WHOLE_BIAS)


def _weights(table: dict[str, tuple[float, float, float]], bias: float) -> Weights:
    centre, scale, weight = (np.array(column) for column in zip(*table.values(), strict=True))
    return Weights(tuple(table), centre, scale, weight, bias)
