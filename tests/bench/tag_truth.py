"""What holds of the demo's notes: the tags of its analysts, and what they left out, by reading.

An analyst who leaves out the jab in every note makes "jab" false of them all, if tags are taken for the truth: what is
fitted on such tags learns to doubt what a note plainly says, and what is judged by them is praised for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from ruamel.yaml import YAML

from fightnotes.suggesting.material import Flags, Material
from tests.bench.tag_hiding import with_tags

_UNWRITTEN = Path(__file__).with_name("demo_unwritten.yaml")


@dataclass(frozen=True)
class Truth:
    written: Material
    """With the tags that analysts wrote."""
    complete: Material
    """With every tag that holds."""
    open: Flags
    """Where the words leave it open, shape (segments, concepts): such pairs teach nothing and judge nothing."""


def as_written(material: Material) -> Truth:
    """Of a library that nobody has read: what has no tag counts as false."""
    return Truth(material, material, np.zeros(material.tags.shape, dtype=np.bool_))


def by_reading(demo: Material) -> Truth:
    row = {(segment.file, segment.line): number for number, segment in enumerate(demo.segments)}
    tags, open_ = demo.tags.toarray() > 0, np.zeros(demo.tags.shape, dtype=np.bool_)
    for file, lines in YAML(typ="safe").load(_UNWRITTEN.read_text(encoding="utf-8")).items():
        for line, read in lines.items():
            for verdict, flags in (("says", tags), ("open", open_)):
                flags[row[file, line], [demo.concepts.column[concept] for concept in read.get(verdict, [])]] = True
    return Truth(demo, with_tags(demo, tags), open_)
