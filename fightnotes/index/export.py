"""A sentence-transformers model as an ONNX graph, made once at build so that a query need not import torch."""

from __future__ import annotations

import os
import shutil
import tempfile
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from fightnotes.errors import ModelError
from fightnotes.index.encoder import GRAPH_FILE, TOKENIZER_FILE, Encoder, EncoderCard
from fightnotes.index.model_source import ModelSource

if TYPE_CHECKING:
    from sentence_transformers import SentenceTransformer

_NEAREST = 0.9999
"""Cosine that the exported encoder must reach with the model itself, on each sample."""
_SAMPLES = (
    "She plants the lead foot outside and sends the left hand through the guard.",
    "jab",
    "Both gloves low, the chin left out on a string: it is an invitation, and nobody in the hall believes it.",
)
_OPSET = 17
_LONGEST_ASSUMED = 512


def export_encoder(source: ModelSource, folder: Path) -> None:
    """Writes the encoder to `folder`, whole or not at all. Loads torch.

    Raises ModelError where the model is missing, cannot be exported, or comes out with other vectors.
    """
    folder.parent.mkdir(parents=True, exist_ok=True)
    made = Path(tempfile.mkdtemp(prefix=f"{folder.name}-", suffix=".part", dir=folder.parent))
    try:
        model = _load(source)
        card = _card(model, source.identity)
        _write_graph(model, card, made / GRAPH_FILE)
        model.tokenizer.backend_tokenizer.save(str(made / TOKENIZER_FILE))
        card.write(made)
        _check(model, Encoder(made), source)
        if folder.exists():
            shutil.rmtree(folder)
        made.rename(folder)
    finally:
        shutil.rmtree(made, ignore_errors=True)


def _load(source: ModelSource) -> SentenceTransformer:
    os.environ["HF_HUB_OFFLINE"] = "1"
    os.environ.setdefault("HF_HUB_DISABLE_PROGRESS_BARS", "1")
    from sentence_transformers import SentenceTransformer
    from transformers.utils import logging

    logging.disable_progress_bar()
    try:
        return SentenceTransformer(source.name, device="cpu", local_files_only=True)
    except (OSError, ValueError, KeyError) as error:
        raise ModelError(
            f"the model '{source.name}' cannot be loaded from this machine, and nothing is downloaded: "
            f"put it in a folder and name that as `model:` in library.yaml ({error})"
        ) from error


def _card(model: SentenceTransformer, identity: str) -> EncoderCard:
    tokenizer = model.tokenizer
    if getattr(tokenizer, "backend_tokenizer", None) is None:
        raise ModelError("the model has no tokenizer that can be saved as tokenizer.json")
    known = ("input_ids", "attention_mask", "token_type_ids")
    dimension = model.get_embedding_dimension()
    if dimension is None:
        raise ModelError("the model does not say how long its vectors are")
    return EncoderCard(
        identity=identity,
        dimension=dimension,
        longest=int(model.max_seq_length or _LONGEST_ASSUMED),
        inputs=tuple(name for name in known if name in tokenizer.model_input_names),
        pad_id=tokenizer.pad_token_id,
        pad_token=tokenizer.pad_token,
    )


def _write_graph(model: SentenceTransformer, card: EncoderCard, path: Path) -> None:
    import torch

    class Sentence(torch.nn.Module):
        """The model from named inputs to the sentence's vector, as one graph."""

        def __init__(self) -> None:
            super().__init__()
            self.model = model

        def forward(self, *inputs: torch.Tensor) -> Any:
            return self.model(dict(zip(card.inputs, inputs, strict=True)))["sentence_embedding"]

    example = model.tokenizer(list(_SAMPLES), padding=True, return_tensors="pt")
    with warnings.catch_warnings(), torch.no_grad():
        warnings.simplefilter("ignore")  # the tracer warns of shapes that `_check` proves right
        try:
            torch.onnx.export(
                Sentence().eval(),
                tuple(example[name] for name in card.inputs),
                str(path),
                input_names=list(card.inputs),
                output_names=["vector"],
                dynamic_axes={name: {0: "texts", 1: "tokens"} for name in card.inputs},
                opset_version=_OPSET,
                dynamo=False,  # six times faster here, and the graph loads in onnxruntime as it is
            )
        except (RuntimeError, TypeError, ValueError) as error:
            raise ModelError(f"the model cannot be exported to ONNX ({error})") from error


def _check(model: SentenceTransformer, encoder: Encoder, source: ModelSource) -> None:
    theirs = model.encode(list(_SAMPLES), normalize_embeddings=True, show_progress_bar=False)
    nearness = np.sum(encoder.encode(_SAMPLES) * theirs, axis=1)
    if float(nearness.min()) < _NEAREST:
        raise ModelError(f"the encoder exported from '{source.name}' differs from it (cosine {nearness.min():.6f})")
