"""Exported encoders, kept once for all libraries of a person in the system's folder for caches."""

from __future__ import annotations

import hashlib
from pathlib import Path

import platformdirs

from fightnotes.errors import StoreOutdated, StoreTorn
from fightnotes.index.encoder import Encoder
from fightnotes.index.model_source import ModelSource
from fightnotes.index.progress import Progress


def encoder_folder(identity: str) -> Path:
    """Named after the model's identity, so that those of several models can stand side by side."""
    name = f"encoder-{hashlib.sha256(identity.encode()).hexdigest()[:16]}"
    return platformdirs.user_cache_path("fightnotes", appauthor=False) / name


def ready_encoder(model: ModelSource, progress: Progress) -> Encoder:
    """The encoder of a model, every byte of it compared with what was exported; exported first where it is not there.

    Waits while another build exports. Raises ModelError, and OSError where the folder cannot be written.
    """
    import filelock  # a query needs it as little as the export

    folder = encoder_folder(model.identity)
    folder.parent.mkdir(parents=True, exist_ok=True)
    with filelock.FileLock(folder.with_suffix(".lock")):
        if folder.exists():
            try:
                return Encoder(folder, model.identity, every_byte=True)
            except (StoreOutdated, StoreTorn) as error:
                progress.say(str(error))
        from fightnotes.index.export import export_encoder

        progress.say(f"exporting the encoder from {model.name} to {folder} (once for all libraries)")
        export_encoder(model, folder)
        return Encoder(folder, model.identity)
