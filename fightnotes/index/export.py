"""A sentence-transformers model as an ONNX graph, made once at build so that a query need not import torch."""

from __future__ import annotations

import os
import shutil
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from fightnotes.errors import ModelError, StoreTorn
from fightnotes.index.adaptation import adapt
from fightnotes.index.encoder import (
    CARD_FILE,
    GRAPH_FILE,
    TOKENIZER_FILE,
    WEIGHTS_FILE,
    Encoder,
    EncoderCard,
    load_onnxruntime,
)
from fightnotes.index.manifest import stored_file, sync
from fightnotes.index.model_source import DEFAULT_WEIGHTS_SHA256, ModelSource

if TYPE_CHECKING:
    from sentence_transformers import SentenceTransformer

_NEAREST = 0.9999
"""Cosine that the exported encoder must reach with the model itself, on each sample."""
_SAMPLES = (
    "She plants the lead foot outside and sends the left hand through the guard.",
    "jab",
    "Both gloves low, the chin left out on a string: it is an invitation, and nobody in the hall believes it.",
)
_PARTS = (GRAPH_FILE, WEIGHTS_FILE, TOKENIZER_FILE)
_INPUTS = ("input_ids", "attention_mask", "token_type_ids")
_OPSET = 17
_LONGEST_ASSUMED = 512


def export_encoder(source: ModelSource, folder: Path) -> None:
    """Writes the encoder to `folder`, whole or not at all. Loads torch. Two at once get in each other's way.

    Raises ModelError where the model cannot be loaded or exported, or comes out with other vectors.
    """
    made = folder.with_name(f"{folder.name}.part")
    for old in (made, folder):
        if old.exists():
            shutil.rmtree(old)
    made.mkdir(parents=True)
    model = _load(source)
    _write(model, source, made)
    _check(model, source, made)
    for name in (*_PARTS, CARD_FILE):
        sync(made / name)
    made.rename(folder)


def _load(source: ModelSource) -> SentenceTransformer:
    os.environ["HF_HUB_OFFLINE"] = "1"  # read when the libraries below are first imported
    from sentence_transformers import SentenceTransformer
    from transformers.utils import logging

    logging.disable_progress_bar()  # type: ignore[no-untyped-call]
    try:
        model = SentenceTransformer(source.name, device="cpu", local_files_only=True)
    except Exception as error:  # whatever the model's own classes raise
        raise ModelError(f"the model '{source.name}' cannot be loaded ({error})") from error
    if source.adapted:
        adapt(model[0].get_submodule("auto_model"), DEFAULT_WEIGHTS_SHA256)
    return model


def _write(model: SentenceTransformer, source: ModelSource, folder: Path) -> None:
    backend = getattr(model.tokenizer, "backend_tokenizer", None)
    if backend is None:
        raise ModelError(f"the model '{source.name}' has no tokenizer that can be saved as {TOKENIZER_FILE}")
    inputs = tuple(name for name in _INPUTS if name in model.tokenizer.model_input_names)
    traced = folder / "traced.onnx"
    _trace(model, inputs, traced)
    _write_graph(traced, folder)
    traced.unlink()
    backend.save(str(folder / TOKENIZER_FILE))
    dimension = model.get_embedding_dimension()
    if dimension is None:
        raise ModelError(f"the model '{source.name}' does not say how long its vectors are")
    card = EncoderCard(
        identity=source.identity,
        dimension=dimension,
        longest=int(model.max_seq_length or _LONGEST_ASSUMED),
        inputs=inputs,
        pad_id=model.tokenizer.pad_token_id,
        pad_token=model.tokenizer.pad_token,
        parts=tuple(stored_file(folder / name) for name in _PARTS),
    )
    (folder / CARD_FILE).write_text(card.model_dump_json(indent=1), encoding="utf-8")


def _trace(model: SentenceTransformer, inputs: tuple[str, ...], path: Path) -> None:
    import torch

    class Sentence(torch.nn.Module):
        """The model from named inputs to the sentence's vector, as one graph."""

        def __init__(self) -> None:
            super().__init__()
            self.model = model

        def forward(self, *values: torch.Tensor) -> Any:
            return self.model(dict(zip(inputs, values, strict=True)))["sentence_embedding"]

    example = model.tokenizer(list(_SAMPLES), padding=True, return_tensors="pt")
    with warnings.catch_warnings(), torch.no_grad():
        warnings.simplefilter("ignore")  # the tracer warns of shapes that `_check` proves right
        try:
            torch.onnx.export(
                Sentence().eval(),
                tuple(example[name] for name in inputs),
                str(path),
                input_names=list(inputs),
                output_names=["vector"],
                dynamic_axes={name: {0: "texts", 1: "tokens"} for name in inputs},
                opset_version=_OPSET,
                dynamo=False,  # six times faster here, and the graph loads in onnxruntime as it is
            )
        except Exception as error:  # the tracer runs the model's own code
            raise ModelError(f"the model cannot be exported to ONNX ({error})") from error


def _write_graph(traced: Path, folder: Path) -> None:
    """The graph as onnxruntime works it out to run it, but for what holds on this processor alone, and its weights in a
    file of their own, which is mapped and not read: what loading would else do again for every query."""
    onnxruntime = load_onnxruntime()
    options = onnxruntime.SessionOptions()
    options.log_severity_level = 3
    options.graph_optimization_level = onnxruntime.GraphOptimizationLevel.ORT_ENABLE_EXTENDED
    options.optimized_model_filepath = str(folder / GRAPH_FILE)
    options.add_session_config_entry("session.optimized_model_external_initializers_file_name", WEIGHTS_FILE)
    try:
        onnxruntime.InferenceSession(str(traced), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime's own have no common base
        raise ModelError(f"the model cannot be exported to ONNX ({error})") from error


def _check(model: SentenceTransformer, source: ModelSource, folder: Path) -> None:
    try:
        ours = Encoder(folder, source.identity).encode(_SAMPLES)
    except StoreTorn as error:
        raise ModelError(f"the model '{source.name}' cannot be used: {error}") from error
    theirs = model.encode(list(_SAMPLES), normalize_embeddings=True, show_progress_bar=False)
    nearness = float(np.sum(ours * theirs, axis=1).min())
    if nearness < _NEAREST:
        raise ModelError(f"the encoder exported from '{source.name}' differs from it (cosine {nearness:.6f})")
