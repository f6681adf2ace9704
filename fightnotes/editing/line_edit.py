"""Small edits to text files that keep every other byte, and their undoing.

An edit holds whole lines with their endings, as they stand and as they shall stand, so that nothing
is ever written over a line that reads otherwise than when the edit was planned. Lines end with
LF, CRLF or CR. Text is UTF-8; bytes that are no UTF-8, and a byte order mark, pass through.
"""

from __future__ import annotations

import bisect
import difflib
import os
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath

from fightnotes.editing.atomic import bytes_of
from fightnotes.errors import FightnotesError, Problem, UnreadableFile
from fightnotes.reading.opening import leads_outside

_BYTE_ORDER_MARK = "\ufeff"
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z")


@dataclass(frozen=True, order=True)
class LineEdit:
    """From line `line` on, the lines `old` become the lines `new`, either of which may be none."""

    file: str
    """Relative to the library, with forward slashes."""
    line: int
    """From 1."""
    old: tuple[str, ...]
    new: tuple[str, ...]
    above: tuple[str, ...] = field(default=(), compare=False)
    below: tuple[str, ...] = field(default=(), compare=False)
    """The nearest lines that are not blank, the nearest first, without endings; see `found_lines`."""
    alone: bool = field(default=False, compare=False)
    """Whether the lines `old` stood once in the file."""


@dataclass(frozen=True)
class FileChange:
    """What the edits of one file make of it."""

    file: str
    path: Path
    before: bytes | None
    """None where there is no file."""
    after: bytes
    old_text: str
    new_text: str
    edits: tuple[LineEdit, ...]
    """From the old text to the new; none of them is a bare insertion, so that the lines tell the place."""
    back: tuple[LineEdit, ...]
    """The edits that undo them."""


@dataclass(frozen=True)
class Span:
    """The characters of a text from `start` up to and without `end` become `new`; offsets from 0."""

    start: int
    end: int
    new: str


def read_exact(path: Path) -> str:
    """The text of a file with its line endings and byte order mark, as edits compare it.

    Raises UnreadableFile.
    """
    content = read_file(path, path.name)
    if content is None:
        raise UnreadableFile(Problem(path.name, 0, 0, "No such file or directory", "a file that can be read"))
    return decoded(content)


def lines_of(text: str) -> list[str]:
    """The lines with their endings; joined they are `text` again."""
    return _LINE.findall(text)


class Offsets:
    """Offsets of the places that a reader names in a text: from 1 both, a byte order mark not counted."""

    def __init__(self, text: str) -> None:
        self._starts = [len(_BYTE_ORDER_MARK) * text.startswith(_BYTE_ORDER_MARK)]
        reached = 0
        for line in lines_of(text):
            reached += len(line)
            self._starts.append(reached)

    def of(self, line: int, column: int) -> int:
        """Behind the text for a line that it does not have."""
        return self._starts[min(line, len(self._starts)) - 1] + column - 1


def newline_of(text: str) -> str:
    """The ending of the first line; LF where there is none."""
    first = re.search(r"\r\n|\r|\n", text)
    return first.group() if first else "\n"


def edits_of(file: str, text: str, spans: Iterable[Span]) -> tuple[LineEdit, ...]:
    """The line edits that make the changes `spans` in `text`; spans on one line become one edit.

    Of two insertions at one offset the first given stands first. Raises ValueError where spans overlap.
    """
    lines = lines_of(text)
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line))
    groups: list[tuple[int, int, list[Span]]] = []
    reached = 0
    for span in sorted(spans, key=lambda each: (each.start, each.end)):
        if not reached <= span.start <= span.end <= len(text):
            raise ValueError(f"span {span.start}-{span.end} overlaps another or leaves the text")
        reached = span.end
        first, last = _line_at(starts, span.start), _line_at(starts, max(span.start, span.end - 1))
        if text[span.start : span.end].endswith(("\r", "\n")) and last + 1 < len(lines):
            last += 1  # what followed the ending now stands on the line where the span began
        if groups and first <= groups[-1][1]:
            groups[-1] = (groups[-1][0], max(groups[-1][1], last), [*groups[-1][2], span])
        else:
            groups.append((first, last, [span]))
    edits = []
    for first, last, inside in groups:
        old = "".join(lines[first : last + 1])
        new = _spliced(old, starts[first], inside)
        if new != old:
            edits.append(LineEdit(file, first + 1, tuple(lines_of(old)), tuple(lines_of(new))))
    return tuple(edits)


def _line_at(starts: Sequence[int], offset: int) -> int:
    """Index of the line that holds the character at `offset`; the text's end belongs to the last line."""
    return min(bisect.bisect_right(starts, offset) - 1, max(len(starts) - 2, 0))


def _spliced(text: str, origin: int, spans: Iterable[Span]) -> str:
    out, reached = [], origin
    for span in spans:
        out += [text[reached - origin : span.start - origin], span.new]
        reached = span.end
    return "".join([*out, text[reached - origin :]])


def edited(file: str, text: str, edits: Iterable[LineEdit]) -> str:
    """`text` with the edits of one file made.

    Raises UnreadableFile where a line reads otherwise than the edit says, and FightnotesError where
    two edits meet on a line.
    """
    lines = lines_of(text)
    out: list[str] = []
    reached = 0
    for edit in sorted(edits):
        start = edit.line - 1
        if start < reached:
            raise FightnotesError(f"{file}:{edit.line}: two edits of one line; make one of them first")
        for number, expected in enumerate(edit.old, edit.line):
            standing = lines[number - 1] if number <= len(lines) else None
            if standing != expected:
                found = "the end of the file" if standing is None else repr(standing)
                raise UnreadableFile(Problem(file, number, 1, found, f"the line as it was read, {expected!r}"))
        if start > len(lines):
            raise UnreadableFile(Problem(file, edit.line, 1, "the end of the file", f"{start} lines before it"))
        out += [*lines[reached:start], *edit.new]
        reached = start + len(edit.old)
    return "".join([*out, *lines[reached:]])


def shown(texts: Mapping[str, str], edits: Iterable[LineEdit]) -> Iterator[str]:
    """The lines of a unified diff, without endings, of what the edits would do to `texts` by file."""
    for file, group in sorted(_by_file(edits).items()):
        before = texts[file]
        after = edited(file, before, group)
        old, new = ([line.rstrip("\r\n") for line in lines_of(side)] for side in (before, after))
        yield from difflib.unified_diff(old, new, file, file, n=1, lineterm="")


def changes_of(root: Path, edits: Iterable[LineEdit]) -> tuple[FileChange, ...]:
    """What all the edits make of the files under `root`; no file is written.

    Raises UnreadableFile where a line reads otherwise.
    """
    changes = []
    for file, group in sorted(_by_file(edits).items()):
        path = inside(root, file)
        before = read_file(path, file)
        text = decoded(before or b"")
        after = edited(file, text, group)
        back = _reverse(file, text, after, _joined(text, group))
        again = _reverse(file, after, text, back)
        content = after.encode("utf-8", "surrogateescape")
        changes.append(FileChange(file, path, before, content, text, after, tuple(again), tuple(back)))
    return tuple(changes)


def _joined(text: str, edits: Iterable[LineEdit]) -> list[LineEdit]:
    """The edits, those that take or bring whole lines joined with one that the line beside them belongs to, too."""
    lines = lines_of(text)
    joined: list[LineEdit] = []
    for edit in sorted(edits):
        last = joined[-1] if joined else edit
        end = last.line - 1 + len(last.old)
        if joined and edit.line - 1 - end <= 1 and not (edit.old and edit.new and last.old and last.new):
            between = tuple(lines[end : edit.line - 1])
            joined[-1] = replace(last, old=(*last.old, *between, *edit.old), new=(*last.new, *between, *edit.new))
        else:
            joined.append(edit)
    return joined


def _reverse(file: str, before: str, after: str, edits: Iterable[LineEdit]) -> list[LineEdit]:
    """The edits back; one that puts deleted lines back holds a line beside them, by which the place is known."""
    lines = lines_of(after)
    back: list[LineEdit] = []
    shift = 0
    for edit in sorted(edits):
        line = edit.line + shift
        shift += len(edit.new) - len(edit.old)
        if edit.new or not lines:
            back.append(LineEdit(file, line, edit.new, edit.old))
        elif line > 1:
            beside = lines[line - 2]
            back.append(LineEdit(file, line - 1, (beside,), (beside, *edit.old)))
        else:
            back.append(LineEdit(file, 1, (lines[0],), (*edit.old, lines[0])))
    return back if _leads_to(file, after, back, before) else [LineEdit(file, 1, tuple(lines), tuple(lines_of(before)))]


def _leads_to(file: str, text: str, edits: Iterable[LineEdit], wanted: str) -> bool:
    """False where an edit joined a CR to an LF, or where two deletions share the line beside them."""
    try:
        return edited(file, text, edits) == wanted
    except FightnotesError:
        return False


def _by_file(edits: Iterable[LineEdit]) -> dict[str, list[LineEdit]]:
    found: dict[str, list[LineEdit]] = defaultdict(list)
    for edit in edits:
        found[edit.file].append(edit)
    return found


def inside(root: Path, file: str) -> Path:
    """The path of a file of the library, links followed. Raises FightnotesError for one outside it."""
    parts = PurePosixPath(file)
    if not file or parts.is_absolute() or ".." in parts.parts or re.search(r"[\\\0]", file) or ":" in parts.parts[0]:
        raise FightnotesError(f"{file}: an edit stays inside the library")
    path = Path(os.path.realpath(root / parts))
    if leads_outside(path, [root.resolve()]):
        raise FightnotesError(f"{file}: an edit stays inside the library, and this is a link to {path}")
    return path


def read_file(path: Path, file: str) -> bytes | None:
    """What the file holds, which is called `file` in the error; None where there is none. Raises UnreadableFile."""
    try:
        return bytes_of(path)
    except OSError as error:
        raise UnreadableFile(Problem(file, 0, 0, error.strerror or str(error), "a file that can be read")) from error


def decoded(content: bytes) -> str:
    """Text as edits compare it: bytes that are no UTF-8 pass through."""
    return content.decode("utf-8", "surrogateescape")
