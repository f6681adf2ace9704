"""What many tests need: libraries in temporary folders, a small embedding model, the demo with the real one."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import hypothesis
import pytest
from typer.testing import CliRunner, Result

from fightnotes.cli.main import app
from tests.shared_server import Server, running_server

hypothesis.settings.register_profile("explore", deadline=None)
hypothesis.settings.register_profile("same everywhere", deadline=None, derandomize=True)
hypothesis.settings.load_profile("same everywhere")

DEMO = Path(__file__).parent.parent / "corpus_demo"

MakeLibrary = Callable[[Mapping[str, str]], Path]
"""From relative path and text to a library's folder."""
RunCommand = Callable[..., Result]


@pytest.fixture(scope="session", autouse=True)
def cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The folder for caches of this run, in place of the person's own; the encoders go there."""
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(folder))
        yield folder


@pytest.fixture(scope="session")
def small_model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sentence-transformers folder with one small layer and seeded weights: its vectors mean little, but are
    the same every time, and near for texts that share words."""
    import torch
    from sentence_transformers import SentenceTransformer
    from sentence_transformers.sentence_transformer.modules import Pooling, Transformer
    from transformers import AutoTokenizer, BertConfig, BertModel

    from fightnotes.index.model_source import locate_model

    folder = tmp_path_factory.mktemp("small-model")
    tokenizer = AutoTokenizer.from_pretrained(locate_model(None, folder).name)
    torch.manual_seed(20310308)
    config = BertConfig(
        vocab_size=len(tokenizer),
        hidden_size=32,
        num_hidden_layers=1,
        num_attention_heads=2,
        intermediate_size=64,
        max_position_embeddings=128,
        initializer_range=0.5,
    )
    BertModel(config).save_pretrained(folder / "bert")
    tokenizer.save_pretrained(folder / "bert")
    encoder = Transformer(str(folder / "bert"), max_seq_length=128)
    SentenceTransformer(modules=[encoder, Pooling(encoder.get_embedding_dimension())]).save(str(folder / "model"))
    return folder / "model"


@pytest.fixture
def make_library(tmp_path: Path, small_model: Path) -> MakeLibrary:
    """Writes files into a new library that embeds with the small model; `library.yaml` may add its own lines."""

    return lambda files: write_library(tmp_path / "library", files, small_model)


def write_library(root: Path, files: Mapping[str, str], model: Path) -> Path:
    for name, text in {"library.yaml": "", **files}.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        line = f"model: {model}\n" if name == "library.yaml" else ""
        path.write_bytes((line + text).encode())
    return root


@pytest.fixture(scope="session")
def shared_server() -> Iterator[Server]:
    """PostgreSQL, for shared stores."""
    with running_server() as server:
        yield server


@pytest.fixture
def team_store(shared_server: Server) -> str:
    """The URL of an empty database."""
    return shared_server.new_database()


@pytest.fixture
def fightnotes(monkeypatch: pytest.MonkeyPatch) -> RunCommand:
    """Runs a command as the shell would; the result has exit_code, stdout and stderr."""
    monkeypatch.delenv("COLUMNS", raising=False)  # test runners set it for their own output

    def run(*words: str | Path, stdin: str | None = None) -> Result:
        return CliRunner().invoke(app, [str(word) for word in words], input=stdin)

    return run


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo library, built with the default model."""
    from fightnotes.library import open_library

    root = tmp_path_factory.mktemp("demo") / "corpus_demo"
    shutil.copytree(DEMO, root, ignore=shutil.ignore_patterns(".fightnotes"))
    open_library(root).build()
    return root
