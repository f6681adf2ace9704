"""The weights that a library without tags of its own begins with; see `model` for how they were made."""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.model import Weights

_TEXT_BIAS = -4.8632
_TEXT = {
    "label": (0.0063, 0.0793, 0.0895),
    "label_words": (0.0187, 0.0539, 0.4101),
    "definition_words": (0.0235, 0.0512, 0.4182),
    "meaning": (0.2462, 0.1080, -0.2542),
    "meaning_above_others": (-0.0000, 0.0840, 0.5348),
    "below_sibling": (-0.0805, 0.1173, 0.5579),
    "pairing_differs": (0.0067, 0.0818, -0.3458),
}
"""Of labels and definitions alone, by kind of evidence: centre, scale and weight."""
_WHOLE_BIAS = -5.9150
_WHOLE = {
    "label": (0.0063, 0.0793, 0.1008),
    "label_words": (0.0187, 0.0539, 0.0284),
    "definition_words": (0.0235, 0.0512, 0.4837),
    "meaning": (0.2462, 0.1080, -0.1685),
    "meaning_above_others": (-0.0000, 0.0840, 0.1252),
    "below_sibling": (-0.0805, 0.1173, 0.3943),
    "pairing_differs": (0.0067, 0.0818, -0.3785),
    "regression": (0.0254, 0.0697, 0.4358),
    "regression_log": (-3.9596, 0.9078, 0.2722),
    "regression_below_best": (-0.3202, 0.1872, 0.8772),
    "tagged_already": (0.1800, 0.3842, -0.8823),
}
"""Of all evidence."""


def text_weights() -> Weights:
    return _weights(_TEXT, _TEXT_BIAS)


def default_weights() -> Weights:
    return _weights(_WHOLE, _WHOLE_BIAS)


def _weights(table: dict[str, tuple[float, float, float]], bias: float) -> Weights:
    centre, scale, weight = (np.array(column) for column in zip(*table.values(), strict=True))
    return Weights(tuple(table), centre, scale, weight, bias)
