"""Writes all that `train.py` needs into one file, so that it can run where nothing but torch is.

python -m tests.encoder.gather FILE
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from tests.encoder.general_text import HELD_OUT, general_texts, gensim_file, summaries
from tests.encoder.situations import STYLES, situations

_ALIKE = Path(__file__).with_name("alike.yaml")


def gathered() -> dict[str, Any]:
    """The paraphrase set with a group for each situation, text for rehearsal, and the general sets to measure on."""
    alike = YAML(typ="safe", pure=True).load(_ALIKE.read_text(encoding="utf-8"))
    group_of = {name: ids[0] for ids in alike for name in ids}
    found = situations()
    return {
        "situations": [
            {
                "id": one.id,
                "file": one.file,
                "group": group_of.get(one.id, one.id),
                "near": one.near,
                "name": one.name,
                "ask": one.ask,
                "said": {style: getattr(one, style) for style in STYLES},
            }
            for one in found
        ],
        "general": general_texts(),
        "pairs": {"WordSim-353": _pairs("wordsim353.tsv"), "SimLex-999": _pairs("simlex999.txt")},
        "lee": {
            "texts": gensim_file("lee.cor").read_text(encoding="latin-1").splitlines(),
            "similarities": [
                float(value) for value in gensim_file("similarities0-1.txt").read_text(encoding="utf-8").split()
            ],
        },
        "summaries": list(summaries(HELD_OUT)),
    }


def _pairs(name: str) -> list[tuple[str, str, float]]:
    rows = [line.split("\t") for line in gensim_file(name).read_text(encoding="utf-8").splitlines() if line[:1] != "#"]
    return [(row[0], row[1], float(row[2])) for row in rows]


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(json.dumps(gathered(), ensure_ascii=False), encoding="utf-8")
