"""Tags hidden as analysts leave them out: at random, the obvious ones, one analyst's."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.sparse import csr_array

from fightnotes.suggesting.material import Flags, Material, Numbers

WAYS = ("random", "obvious", "analyst")
"""`obvious`: a label of the concept is said; `analyst`: those of the one who tags the most."""
SHARES = (0.3, 0.6, 1.0)
"""Of the tags that the way may hide."""
SEED = 20310308


def with_tags(material: Material, tags: Flags) -> Material:
    """The material with these tags alone, shape (segments, concepts)."""
    return replace(material, tags=csr_array(tags.astype(np.float32)))


def hide(material: Material, way: str, share: float, seed: int = SEED) -> Material:
    tags = material.tags.toarray() > 0
    gone = np.random.default_rng(seed).random(tags.shape) < share
    return with_tags(material, tags & ~(gone & _may_hide(material, way)))


def hide_bouts(material: Material, rows: Numbers) -> Material:
    """Without the tags of these segments."""
    tags = material.tags.toarray() > 0
    tags[rows] = False
    return with_tags(material, tags)


def _may_hide(material: Material, way: str) -> Flags:
    """The pairs whose tags the way may hide, shape (segments, concepts)."""
    tags = material.tags.toarray() > 0
    if way == "obvious":
        said: Flags = material.labels.toarray() > 0
        return said
    if way == "analyst":
        analysts = np.array([segment.analyst or "" for segment in material.segments])
        names = np.unique(analysts)
        most = max(names, key=lambda name: int(tags[analysts == name].sum()))
        return np.broadcast_to((analysts == most)[:, None], tags.shape)
    return np.ones_like(tags)
