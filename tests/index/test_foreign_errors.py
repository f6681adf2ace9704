"""What SQLite, FAISS, onnxruntime, tokenizers, torch and the disk raise reaches a caller as ours."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import faiss
import filelock
import onnxruntime
import pytest
import tokenizers
import torch

from fightnotes.errors import FightnotesError, ModelError, StoreError, StoreTorn
from fightnotes.index import vector_file, write_store
from fightnotes.index.database import create, open_draft, open_finished
from fightnotes.index.encoder import Encoder
from fightnotes.index.layout import Layout
from fightnotes.index.vector_parts import VectorParts
from fightnotes.library import open_library
from tests.index.samples import rewrite, texts_in

NO_SPACE = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
READ_ONLY = OSError(errno.EROFS, os.strerror(errno.EROFS), "/library/.fightnotes")
FAILED_DISK = OSError(errno.EIO, os.strerror(errno.EIO))
REFUSED = PermissionError(errno.EACCES, os.strerror(errno.EACCES), "/library/.fightnotes/x")


def raising(error: BaseException) -> Callable[..., Any]:
    def fail(*_: Any, **__: Any) -> Any:
        raise error

    return fail


@pytest.fixture
def edited(built: Path) -> Path:
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    return built


WRITES: dict[str, tuple[Any, str, BaseException]] = {
    "the folder cannot be made": (Path, "mkdir", READ_ONLY),
    "the lock cannot be made": (filelock.FileLock, "acquire", REFUSED),
    "the database cannot be copied": (shutil, "copyfile", NO_SPACE),
    "bytes do not reach the disk": (os, "fsync", FAILED_DISK),
    "a file cannot take its name": (Path, "replace", REFUSED),
    "the vectors do not fit": (faiss, "write_index", NO_SPACE),
    "the digest cannot be read": (write_store, "stored_file", FAILED_DISK),
    "the manifest does not fit": (Path, "write_text", NO_SPACE),
    "an old file cannot be looked at": (Path, "glob", REFUSED),
}


@pytest.mark.parametrize("name", WRITES)
def test_a_build_that_cannot_write(edited: Path, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    before = texts_in(edited)
    target, attribute, error = WRITES[name]
    with monkeypatch.context() as patched:
        patched.setattr(target, attribute, raising(error))
        with pytest.raises(StoreError, match=str(error.strerror)):  # type: ignore[attr-defined]
            open_library(edited).build()
    if name != "an old file cannot be looked at":
        assert texts_in(edited) == before
    open_library(edited).build()
    assert "Marvane waits with high gloves." in texts_in(edited)


COMMAND = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv.pop(1)),) * 2)
from fightnotes.cli.main import app
app()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="has no limit on the size of files")
@pytest.mark.parametrize("largest", [0, 300, 5_000, 40_000])
def test_a_disk_that_takes_no_more(edited: Path, largest: int) -> None:
    """The system refuses to let any file grow beyond a size, wherever the program is when it does."""
    before = texts_in(edited)
    result = subprocess.run(
        [sys.executable, "-c", COMMAND, str(largest), "build", "--library", str(edited)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert result.returncode == 1
    assert result.stderr.startswith("fightnotes: ")
    assert result.stderr.count("\n") == 1
    assert texts_in(edited) == before
    assert not list(Layout(edited).folder.glob("*.part")), "nothing half-written takes up the room"
    assert open_library(edited).build().rebuilt_because is None


def test_a_full_database_is_not_called_damaged(tmp_path: Path) -> None:
    connection = create(tmp_path / "x.sqlite")
    connection.execute("PRAGMA max_page_count = 20")
    with pytest.raises(StoreError, match="full") as raised:
        connection.executemany("INSERT INTO meta VALUES (?, ?)", ((str(key), "x" * 5000) for key in range(100)))
    assert not isinstance(raised.value, StoreTorn)


DATABASE_FAULTS: dict[str, tuple[Callable[[sqlite3.Connection], Any], type[StoreError]]] = {
    "a table is lost": (lambda connection: connection.execute("SELECT * FROM lost"), StoreTorn),
    "a text is no UTF-8": (lambda connection: connection.execute("SELECT CAST(x'ff' AS TEXT)").fetchone(), StoreTorn),
    "met while fetching": (lambda connection: connection.execute("SELECT CAST(x'ff' AS TEXT)").fetchall(), StoreTorn),
    "met while fetching some": (
        lambda connection: connection.execute("SELECT CAST(x'ff' AS TEXT)").fetchmany(2),
        StoreTorn,
    ),
    "met while walking": (lambda connection: list(connection.execute("SELECT CAST(x'ff' AS TEXT)")), StoreTorn),
    "of a cursor": (lambda connection: connection.cursor().execute("SELECT * FROM lost"), StoreTorn),
    "of many": (lambda connection: connection.executemany("INSERT INTO lost VALUES (?)", [(1,)]), StoreTorn),
    "of a script": (lambda connection: connection.executescript("SELECT * FROM lost"), StoreTorn),
    "a statement is wrong": (lambda connection: connection.execute("SELEKT"), StoreError),
    "an expression is wrong": (
        lambda connection: connection.execute("SELECT 1 FROM words WHERE words MATCH 'a AND'").fetchall(),
        StoreError,
    ),
    "a value is of no type it knows": (lambda connection: connection.execute("SELECT ?", (object(),)), StoreError),
}


@pytest.mark.parametrize("name", DATABASE_FAULTS)
def test_what_sqlite_raises(tmp_path: Path, name: str) -> None:
    act, kind = DATABASE_FAULTS[name]
    connection = create(tmp_path / "x.sqlite")
    with pytest.raises(StoreError) as raised:
        act(connection)
    assert type(raised.value) is kind
    assert isinstance(raised.value.__cause__, sqlite3.Error)
    assert "x.sqlite" in str(raised.value)


@pytest.mark.parametrize("opener", [open_draft, open_finished])
def test_a_database_that_cannot_be_opened(tmp_path: Path, opener: Callable[[Path], Any]) -> None:
    with pytest.raises(StoreError, match="unable to open"):
        opener(tmp_path / "no-folder" / "x.sqlite")


@pytest.mark.parametrize("error", [RuntimeError("Error in f\nread error"), MemoryError("std::bad_alloc")])
def test_what_faiss_raises_while_reading(built: Path, error: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(faiss, "read_index", raising(error))
    with pytest.raises(StoreTorn, match=r"vectors-1\.faiss is damaged"):
        open_library(built).find("low gloves")


def test_a_faiss_index_of_another_kind(built: Path) -> None:
    path = Layout(built).file("vectors-1.faiss")
    faiss.write_index(faiss.IndexFlatL2(32), str(path))
    with pytest.raises(StoreTorn, match="another kind"):
        vector_file.read_vectors(path)


def test_a_segment_without_a_vector(built: Path) -> None:
    with pytest.raises(StoreTorn, match="fightnotes build"):
        open_library(built).store.vectors_of([10**6])


class FailingTokenizer:
    def encode_batch(self, texts: list[str]) -> list[Any]:
        raise Exception("as tokenizers does")  # it has no class of its own


class FailingSession:
    def run(self, outputs: Any, feed: Any) -> Any:
        raise onnxruntime.capi.onnxruntime_pybind11_state.Fail("as onnxruntime does")


@pytest.mark.parametrize(("part", "failing"), [("_tokenizer", FailingTokenizer()), ("_session", FailingSession())])
def test_what_the_encoder_raises(built: Path, part: str, failing: Any) -> None:
    library = open_library(built)
    setattr(library.store.encoder, part, failing)
    with pytest.raises(StoreTorn, match=r"as .* does"):
        library.find("low gloves")


@pytest.mark.parametrize(
    ("target", "attribute"),
    [(tokenizers.Tokenizer, "from_file"), (onnxruntime, "InferenceSession")],
)
def test_what_loading_the_encoder_raises(
    built: Path, target: Any, attribute: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(target, attribute, raising(Exception("no narrower class")))
    with pytest.raises(StoreTorn, match="no narrower class"):
        open_library(built).find("low gloves")


@pytest.mark.parametrize("error", [RuntimeError("size mismatch"), ImportError("no such package"), KeyError("type")])
def test_what_loading_a_model_raises(root: Path, error: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    import sentence_transformers

    monkeypatch.setattr(sentence_transformers, "SentenceTransformer", raising(error))
    with pytest.raises(ModelError, match="cannot be loaded"):
        open_library(root).build()
    assert not Layout(root).manifest.exists()


def test_what_exporting_a_model_raises(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(torch.onnx, "export", raising(torch.onnx.errors.UnsupportedOperatorError("x", 17, 18)))
    with pytest.raises(ModelError, match="cannot be exported"):
        open_library(root).build()


def test_an_export_that_comes_out_with_other_vectors(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    encode = Encoder.encode
    monkeypatch.setattr(Encoder, "encode", lambda self, texts: encode(self, list(reversed(texts))))
    with pytest.raises(ModelError, match="differs from it"):
        open_library(root).build()


def test_an_encoder_that_fails_in_a_build(edited: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = texts_in(edited)
    with monkeypatch.context() as patched:
        patched.setattr(VectorParts, "add", raising(StoreTorn("the encoder fails")))
        with pytest.raises(FightnotesError):
            open_library(edited).build()
    assert texts_in(edited) == before


def test_a_head_that_cannot_be_read(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fightnotes.index.manifest.read_ordinary", raising(FAILED_DISK))
    with pytest.raises(StoreError, match="cannot be read"):
        open_library(built).store  # noqa: B018  opens it
