"""The entry of a transcript among a bout's `sources`, brought in place to name the notes that were made of it.

Every other byte of the bout's file stays; what comes out is read again before it is handed on.
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, Offsets, Span, edited, edits_of, newline_of
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import FOOTAGE, Bout, Settings, Source
from fightnotes.reading.front_matter import bout_from
from fightnotes.reading.note_blocks import front_of, read_blocks
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, read_yaml
from fightnotes.reading.text_file import decode

_QUOTED = re.compile(r"\"(?:[^\"\\\r\n]|\\[^\r\n])*\"|'(?:[^'\r\n]|'')*'")
_PLAIN_PATH = re.compile(r"[\w.][\w./-]*")
"""Paths that YAML reads as text without quotes, wherever they stand."""
_MARK = "\ufeff"


def source_edits(
    bout: Bout, text: str, old: Source, new: Source, settings: Settings, folders: Sequence[Path], keep: bool = False
) -> tuple[LineEdit, ...]:
    """The edits of the bout's own file, whose text is `text`, that name `new` in the place of `old`, or with `keep`
    above it.

    Raises UnreadableFile where the entry is written so that it cannot be edited in place (over several lines, or with
    an alias).
    """
    matter = _matter_of(text, bout.file)
    listed = next((value for key, value in (matter.entries or ()) if key.text == "sources"), None) if matter else None
    for item in items_of(listed, Reporter(bout.file)) if listed else ():
        keys = {key.text or "": value for key, value in item.entries} if item.entries else {"file": item}
        file = keys.get("file")
        if file is None or file.text is None or _from_library(file.text, bout) != old.file:
            continue
        spans = list(_beside(text, listed, item, bout, new) if keep else _instead(text, keys, bout, new))
        edits = edits_of(bout.file, text, spans)
        wanted = tuple(
            each for source in bout.sources for each in ((source,) if source != old else (new, old) if keep else (new,))
        )
        after = _bout_of(edited(bout.file, text, edits), bout.file, settings, folders)
        if after == bout.model_copy(update={"sources": wanted}):
            return edits
        raise _by_hand(bout, item, new)
    raise _by_hand(bout, listed, new)


def _instead(text: str, keys: dict[str, Item], bout: Bout, new: Source) -> Iterator[Span]:
    """The file's name, and the kind where it is written."""
    kind = keys.get("kind")
    for item, value in ((keys["file"], _from_bout(new.file, bout)), (kind, new.kind)):
        if item is not None:
            start, stop = _scalar(text, item)
            yield Span(start, stop, _like(text[start:stop], value))


def _beside(text: str, listed: Item | None, item: Item, bout: Bout, new: Source) -> Iterator[Span]:
    entry = _flow(new, bout)
    at = Offsets(text).of(item.line, item.column)
    if listed is item:  # one entry alone, without a list
        start, stop = _scalar(text, item)
        yield Span(start, stop, f"[{entry}, {text[start:stop]}]")
        return
    begin = max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1
    if re.fullmatch(r"[ \t]*-[ \t]+", text[begin:at]):
        yield Span(begin, begin, f"{text[begin:at]}{entry}{newline_of(text)}")
    else:
        yield Span(at, at, f"{entry}, ")


def _scalar(text: str, item: Item) -> tuple[int, int]:
    """Where a text on one line begins and ends; the same offset twice for what stands otherwise."""
    start = Offsets(text).of(item.line, item.column)
    quoted = _QUOTED.match(text, start)
    if quoted:
        return start, quoted.end()
    written = item.text or ""
    return start, start + (len(written) if text.startswith(written, start) else 0)


def _like(old: str, value: str) -> str:
    """Without quotes where the old text had none and none are needed."""
    return value if _PLAIN_PATH.fullmatch(value) and not old.startswith(("'", '"')) else json.dumps(value)


def _flow(source: Source, bout: Bout) -> str:
    said = {
        "file": _from_bout(source.file, bout),
        "kind": source.kind,
        "analyst": source.analyst,
        "timed_on": source.timed_on if source.timed_on != FOOTAGE else None,
    }
    return "{" + ", ".join(f"{key}: {_like('', value)}" for key, value in said.items() if value) + "}"


def _from_bout(file: str, bout: Bout) -> str:
    return posixpath.relpath(file, posixpath.dirname(bout.file))


def _from_library(written: str, bout: Bout) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(bout.file), written.strip()))


def _matter_of(text: str, file: str) -> Item | None:
    decoded = decode(text.encode("utf-8", "surrogateescape"), Reporter(file))
    note = read_blocks(front_of(decoded or ""), Reporter(file))
    return read_yaml(note.front_matter, Reporter(file), note.front_matter_line) if note.front_matter else None


def _bout_of(text: str, file: str, settings: Settings, folders: Sequence[Path]) -> Bout:
    return bout_from(_matter_of(text, file), file, settings, folders, Reporter(file))


def _by_hand(bout: Bout, item: Item | None, new: Source) -> UnreadableFile:
    found = "sources that cannot be edited in place"
    expected = f"an entry on lines of its own, or by hand: {_flow(new, bout)}"
    return UnreadableFile(Problem(bout.file, item.line if item else 1, item.column if item else 1, found, expected))
