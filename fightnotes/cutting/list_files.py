"""The cut lists of a library's folder `cuts/`, each by its name, and changes of their files.

Whoever changes a list names the content that it was shown; where the file holds another by then it stays as it is.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from pathlib import Path

from fightnotes.cutting.rewriting import rewrite_saved
from fightnotes.cutting.saved import SavedList, saved_of_text, text_of_saved
from fightnotes.editing.atomic import replace_files
from fightnotes.editing.journal import alone
from fightnotes.editing.line_edit import inside, read_file
from fightnotes.errors import FightnotesError, Problem, UnknownName, UnreadableFile, UsageError
from fightnotes.model import Handles, Record
from fightnotes.reading.file_names import CUTS_FOLDER

LIST_NAME = r"[A-Za-z0-9][A-Za-z0-9\-]{0,79}"
"""A list's name, as a pattern."""
_ENDING = ".yaml"
_MARK = "cut-list"
"""What the file that waits to take a list's place is named by."""
_BYTE_ORDER_MARK = "\ufeff"


class ListFile(Record):
    """A list as its file holds it."""

    name: str
    content: bytes
    saved: SavedList
    problems: tuple[Problem, ...]
    """What is wrong in the file; while there is anything the list cannot be changed but by hand."""

    @property
    def digest(self) -> str:
        """Tells this content of the file from any other."""
        return digest_of_list(self.content)


class ListChange(Record):
    """A change that was made of a list's file."""

    name: str
    before: bytes | None
    """None where there was no file."""
    after: bytes | None

    @property
    def digest(self) -> str:
        """Of the file that it left."""
        return digest_of_list(self.after)


def digest_of_list(content: bytes | None) -> str:
    """Empty where there is no file."""
    return "" if content is None else hashlib.sha256(content).hexdigest()[:32]


def list_file(name: str) -> str:
    """The file of a list, relative to the library. Raises UsageError for what is no name of one."""
    if not re.fullmatch(LIST_NAME, name, re.ASCII):
        raise UsageError("a cut list is named by up to 80 letters from a to z, digits and hyphens, such as left-hooks")
    return f"{CUTS_FOLDER}/{name}{_ENDING}"


def list_names(root: Path) -> tuple[str, ...]:
    """Of the lists that there are, in order."""
    files = (path for path in (root / CUTS_FOLDER).glob(f"*{_ENDING}") if path.is_file())
    return tuple(sorted(path.stem for path in files if re.fullmatch(LIST_NAME, path.stem, re.ASCII)))


def read_list(root: Path, name: str, handles: Handles) -> ListFile:
    """`handles` are what a list has that gives none. Raises UnknownName where there is no such list, UnreadableFile."""
    file = list_file(name)
    content = _content_of(root, name)
    saved, problems = saved_of_text(_text(content, file)[1], file, handles)
    return ListFile(name=name, content=content, saved=saved, problems=problems)


def create_list(root: Path, name: str, saved: SavedList) -> ListChange:
    """Raises UsageError where there is a list of that name, FightnotesError where it cannot be written."""
    file = list_file(name)
    with alone(root):
        path = inside(root, file)
        if read_file(path, file) is not None:
            raise UsageError(f"there is a cut list {name} already")
        content = text_of_saved(saved).encode()
        _make_folder(path.parent)
        replace_files({path: (None, content)}, _MARK)
    return ListChange(name=name, before=None, after=content)


def change_list(
    root: Path, name: str, edit: Callable[[SavedList], SavedList], handles: Handles, shown: str | None
) -> ListChange:
    """The list as `edit` gives it, in its file; all else in the file stays as it stands.

    `shown` is the digest of the content that the edit was meant for; None for one that suits any. Raises UnreadableFile
    where the file holds another, or cannot be edited in place; what `edit` raises.
    """
    with alone(root):
        held = read_list(root, name, handles)
        if shown is not None and shown != held.digest:
            raise _changed_meanwhile(name)
        if held.problems:
            raise UnreadableFile(held.problems[0])
        wanted = edit(held.saved)
        if wanted == held.saved:
            return ListChange(name=name, before=held.content, after=held.content)
        mark, text = _text(held.content, list_file(name))
        content = (mark + rewrite_saved(text, list_file(name), wanted, handles)).encode()
        replace_files({inside(root, list_file(name)): (held.content, content)}, _MARK)
    return ListChange(name=name, before=held.content, after=content)


def remove_list(root: Path, name: str, shown: str | None) -> ListChange:
    """The file is deleted, whatever it holds. Raises UnknownName where there is none, UnreadableFile where `shown` is
    the digest of another content."""
    with alone(root):
        content = _content_of(root, name)
        if shown not in (None, digest_of_list(content)):
            raise _changed_meanwhile(name)
        replace_files({inside(root, list_file(name)): (content, None)}, _MARK)
    return ListChange(name=name, before=content, after=None)


def take_back_change(root: Path, change: ListChange, shown: str | None) -> ListChange:
    """The file as it was before the change; gives the change that this is. Raises UnreadableFile where the file is not
    as the change left it, or `shown` is the digest of another one."""
    file = list_file(change.name)
    with alone(root):
        path = inside(root, file)
        if read_file(path, file) != change.after or shown not in (None, change.digest):
            raise _changed_meanwhile(change.name)
        replace_files({path: (change.after, change.before)}, _MARK)
    return ListChange(name=change.name, before=change.after, after=change.before)


def _content_of(root: Path, name: str) -> bytes:
    file = list_file(name)
    content = read_file(inside(root, file), file)
    if content is None:
        raise UnknownName(f"there is no cut list {name}")
    return content


def _text(content: bytes, file: str) -> tuple[str, str]:
    """The byte order mark, where there is one, and the text."""
    try:
        text = content.decode()
    except UnicodeDecodeError as error:
        raise UnreadableFile(Problem(file, 0, 0, "bytes that are no UTF-8", "a saved cut list")) from error
    rest = text.removeprefix(_BYTE_ORDER_MARK)
    return text[: len(text) - len(rest)], rest


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise FightnotesError(f"{folder}: cannot be made: {error.strerror}") from error


def _changed_meanwhile(name: str) -> UnreadableFile:
    found = Problem(list_file(name), 0, 0, "a change made meanwhile", "the list as the page showed it")
    return UnreadableFile(found)
