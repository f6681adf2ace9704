"""Text to vectors with the exported encoder: onnxruntime and tokenizers, without torch or transformers."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
from pydantic import ValidationError

from fightnotes.errors import StoreOutdated, StoreTorn
from fightnotes.index.manifest import StoredFile, check_content, check_size
from fightnotes.model import Record

if TYPE_CHECKING:
    from tokenizers import Encoding

Vectors = npt.NDArray[np.float32]

GRAPH_FILE = "encoder.onnx"
WEIGHTS_FILE = "encoder.weights"
TOKENIZER_FILE = "tokenizer.json"
CARD_FILE = "encoder.json"
_TOKENS = 256
"""That go through the model at once, so few that its layers find them in a core's own cache: measured on notes of 24
tokens, 512 take 4 to 9 % longer, 32 notes at once a fifth."""


def load_onnxruntime() -> Any:
    """The module, told before it is imported to open no sockets."""
    os.environ["ORT_DISABLE_TELEMETRY"] = "1"
    import onnxruntime

    return onnxruntime


class EncoderCard(Record):
    """What the encoder's folder says of itself in `encoder.json`."""

    identity: str
    """Of the model that it was exported from."""
    dimension: int
    longest: int
    """Tokens that a text may have; the rest of it is not read, as in the model itself."""
    inputs: tuple[str, ...]
    """Of the graph: some of input_ids, attention_mask, token_type_ids."""
    pad_id: int
    pad_token: str
    parts: tuple[StoredFile, ...]
    """The other files of the folder."""


class Encoder:
    """The exported model, loaded."""

    def __init__(self, folder: Path, identity: str, *, every_byte: bool = False) -> None:
        """Raises StoreTorn where the folder lacks a part or holds a damaged one, StoreOutdated for another model's.

        `every_byte` compares the files' whole content with what was exported, and not their size alone.
        """
        from tokenizers import Tokenizer

        onnxruntime = load_onnxruntime()
        self.card = _read_card(folder)
        if self.card.identity != identity:
            raise StoreOutdated(f"the encoder in {folder} was exported from another model than the store's")
        for part in self.card.parts:
            (check_content if every_byte else check_size)(folder, part)
        options = onnxruntime.SessionOptions()
        options.log_severity_level = 3
        # Threads that spin while they wait cost a third of the time on a machine that does something else, too.
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        try:
            self._tokenizer = Tokenizer.from_file(str(folder / TOKENIZER_FILE))
            self._session = onnxruntime.InferenceSession(
                str(folder / GRAPH_FILE), options, providers=["CPUExecutionProvider"]
            )
        except Exception as error:  # tokenizers raises no narrower class, and onnxruntime's have no common base
            raise StoreTorn(f"the exported encoder in {folder} cannot be loaded ({error})") from error
        self._folder = folder
        self._tokenizer.enable_truncation(self.card.longest)
        self._tokenizer.no_padding()  # `_run` pads, to the longest of its batch

    @property
    def dimension(self) -> int:
        return self.card.dimension

    def encode(self, texts: Sequence[str], advance: Callable[[int], None] | None = None) -> Vectors:
        """Vectors of length 1, shape (len(texts), dimension), in the order of `texts`.

        Texts with as many tokens go together, so that little is padded (ordered by characters, the demo's notes
        would cost a sixth more); `advance` hears how many are done. Raises StoreTorn where the graph fails.
        """
        vectors = np.empty((len(texts), self.card.dimension), dtype=np.float32)
        encodings = self._tokens(texts)
        for batch in _batches([len(encoding) for encoding in encodings]):
            vectors[batch] = self._run([encodings[index] for index in batch])
            if advance:
                advance(len(batch))
        return vectors

    def knows(self, word: str) -> bool:
        """Whether the model has the word in its own vocabulary, in one piece."""
        return len(self._tokenizer.encode(_whole(word), add_special_tokens=False).ids) == 1

    def _tokens(self, texts: Sequence[str]) -> list[Encoding]:
        try:
            return self._tokenizer.encode_batch([_whole(text) for text in texts])
        except Exception as error:  # as in __init__
            raise self._failure(error) from error

    def _run(self, encodings: list[Encoding]) -> Vectors:
        longest = max(len(encoding) for encoding in encodings)
        try:
            for encoding in encodings:
                encoding.pad(longest, pad_id=self.card.pad_id, pad_token=self.card.pad_token)
            columns = {
                "input_ids": [encoding.ids for encoding in encodings],
                "attention_mask": [encoding.attention_mask for encoding in encodings],
                "token_type_ids": [encoding.type_ids for encoding in encodings],
            }
            feed = {name: np.array(columns[name], dtype=np.int64) for name in self.card.inputs}
            found: Vectors = self._session.run(None, feed)[0]
        except Exception as error:  # as in __init__
            raise self._failure(error) from error
        vectors: Vectors = found / np.maximum(np.linalg.norm(found, axis=1, keepdims=True), np.float32(1e-12))
        return vectors

    def _failure(self, error: Exception) -> StoreTorn:
        return StoreTorn(f"the exported encoder in {self._folder} fails ({error})")


def _batches(lengths: Sequence[int]) -> Iterator[list[int]]:
    """Numbers of the texts that go together, those with the most tokens first."""
    order = sorted(range(len(lengths)), key=lambda number: lengths[number], reverse=True)
    while order:
        size = max(1, _TOKENS // max(1, lengths[order[0]]))
        yield order[:size]
        order = order[size:]


def _whole(text: str) -> str:
    """The text with a mark for each half of a surrogate pair, which a shell's broken bytes may leave in a query."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _read_card(folder: Path) -> EncoderCard:
    path = folder / CARD_FILE
    try:
        return EncoderCard.model_validate_json(path.read_bytes())
    except OSError as error:
        raise StoreTorn(f"{path} cannot be read ({error.strerror})") from error
    except ValidationError as error:
        raise StoreTorn(f"{path} is damaged") from error
