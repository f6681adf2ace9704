"""Text to vectors with the exported encoder: onnxruntime and tokenizers, without torch or transformers."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from fightnotes.errors import StoreTorn

Vectors = npt.NDArray[np.float32]

GRAPH_FILE = "encoder.onnx"
TOKENIZER_FILE = "tokenizer.json"
CARD_FILE = "encoder.json"
_BATCH = 32


@dataclass(frozen=True)
class EncoderCard:
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

    def write(self, folder: Path) -> None:
        (folder / CARD_FILE).write_text(json.dumps(asdict(self), indent=1), encoding="utf-8")

    @classmethod
    def read(cls, folder: Path) -> EncoderCard:
        found = json.loads((folder / CARD_FILE).read_text(encoding="utf-8"))
        return cls(**{**found, "inputs": tuple(found["inputs"])})


class Encoder:
    """The exported model, loaded."""

    def __init__(self, folder: Path) -> None:
        """Raises StoreTorn where the folder lacks a part or holds a damaged one."""
        import onnxruntime
        from tokenizers import Tokenizer

        try:
            self.card = EncoderCard.read(folder)
            self._tokenizer = Tokenizer.from_file(str(folder / TOKENIZER_FILE))
            options = onnxruntime.SessionOptions()
            options.log_severity_level = 3
            self._session = onnxruntime.InferenceSession(
                str(folder / GRAPH_FILE), options, providers=["CPUExecutionProvider"]
            )
        except Exception as error:
            raise StoreTorn(f"the exported encoder in {folder} cannot be loaded ({error})") from error
        self._tokenizer.enable_truncation(self.card.longest)
        self._tokenizer.enable_padding(pad_id=self.card.pad_id, pad_token=self.card.pad_token)

    @property
    def dimension(self) -> int:
        return self.card.dimension

    def encode(self, texts: Sequence[str], advance: Callable[[int], None] | None = None) -> Vectors:
        """Vectors of length 1, shape (len(texts), dimension), in the order of `texts`.

        Texts of like length go together, so that little is padded; `advance` hears how many are done.
        """
        vectors = np.empty((len(texts), self.card.dimension), dtype=np.float32)
        order = sorted(range(len(texts)), key=lambda index: len(texts[index]), reverse=True)
        for begin in range(0, len(order), _BATCH):
            batch = order[begin : begin + _BATCH]
            vectors[batch] = self._run([texts[index] for index in batch])
            if advance:
                advance(len(batch))
        return vectors

    def _run(self, texts: list[str]) -> Vectors:
        encodings = self._tokenizer.encode_batch(texts)
        columns = {
            "input_ids": [encoding.ids for encoding in encodings],
            "attention_mask": [encoding.attention_mask for encoding in encodings],
            "token_type_ids": [encoding.type_ids for encoding in encodings],
        }
        feed = {name: np.array(columns[name], dtype=np.int64) for name in self.card.inputs}
        found: Vectors = self._session.run(None, feed)[0]
        return found / np.maximum(np.linalg.norm(found, axis=1, keepdims=True), np.float32(1e-12))
