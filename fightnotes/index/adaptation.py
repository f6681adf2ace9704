"""The low-rank factors that adapt the default encoder to the trade, and how they are added to its weights.

Trained by `tests/encoder/train.py` on a paraphrase set of fight situations, general text rehearsed so that the rest
of the language keeps its vectors. W becomes W + up @ down (Hu et al. 2021), layer by layer.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import ModelError

if TYPE_CHECKING:
    from torch import nn

FACTORS_FILE = Path(__file__).with_name("trade_factors.safetensors")
"""Half precision: `<layer>.down` of shape (rank, in) and `<layer>.up` of shape (out, rank), by the layer's name in the
model; the metadata names the hash of the base's weights."""


def adapt(encoder: nn.Module, base_sha256: str) -> None:
    """Adds the factors to the linear layers of a BERT model. Raises ModelError for factors of another base."""
    import torch
    from safetensors import safe_open

    with safe_open(FACTORS_FILE, framework="pt") as factors, torch.no_grad():
        base = (factors.metadata() or {}).get("base")
        if base != f"sha256:{base_sha256}":
            raise ModelError(f"{FACTORS_FILE} was made for another model than the default one ({base})")
        for name in factors.keys():  # noqa: SIM118  no mapping
            layer, _, side = name.rpartition(".")
            if side == "down":
                up = factors.get_tensor(f"{layer}.up").float()
                encoder.get_parameter(f"{layer}.weight").add_(up @ factors.get_tensor(name).float())
