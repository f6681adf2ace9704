"""One journal for all edits of the library's files: a change that a killed run left half made is finished.

`make` writes the entry, replaces the files, and marks the entry done, alone among all processes. Whoever comes next
calls `settle` first. A change is known by its lines where a file was edited by another hand in between.
"""

from __future__ import annotations

import datetime
import os
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from fightnotes.editing.atomic import bytes_of, replace_files, sync_folders, temporary_name
from fightnotes.editing.found_lines import found, with_surroundings
from fightnotes.editing.line_edit import FileChange, LineEdit, changes_of, decoded, edited, inside, read_file
from fightnotes.editing.undo_file import (
    BEGUN,
    DONE,
    FOLDER,
    Digests,
    Undo,
    digest_of,
    entry_path,
    mark_of,
    read_undo,
    written,
)
from fightnotes.errors import FightnotesError, Problem, UnreadableFile

LOCK = Path(".fightnotes", "edit.lock")
_PATIENCE = 10
"""Seconds to wait for a change that another process makes."""


def make(
    root: Path, title: str, edits: Iterable[LineEdit], takes_back: str | None = None, going: Collection[str] = ()
) -> Path:
    """Make all the edits, or none; gives the undo file, which is not there any more where it `takes_back` another.

    Of the files `going`, those go that nothing is left in. Raises UnreadableFile where a line reads otherwise than
    the edit says, FightnotesError where a file cannot be written or an older change cannot be finished.
    """
    try:
        with alone(root):
            said = _settled(root)
            if _left(root):
                raise FightnotesError("\n".join(said))
            return _made(root, title, changes_of(root, edits), takes_back, going)
    except OSError as error:
        raise FightnotesError(f"{error.filename or root}: cannot be written: {error.strerror}") from error


def _made(
    root: Path, title: str, changes: Sequence[FileChange], takes_back: str | None, going: Collection[str]
) -> Path:
    contents = {one.path: (one.before, one.after or (None if one.file in going else b"")) for one in changes}
    undo = Undo(
        title=title,
        made=datetime.datetime.now(datetime.UTC),
        edits=tuple(edit for one in changes for edit in with_surroundings(one.new_text, one.back)),
        again=tuple(edit for one in changes for edit in with_surroundings(one.old_text, one.edits)),
        files={
            one.file: Digests(before=digest_of(one.before), after=digest_of(contents[one.path][1])) for one in changes
        },
        folders=_missing_folders(root, contents),
        takes_back=takes_back,
    )
    path = entry_path(root, undo)
    path.parent.mkdir(exist_ok=True)
    replace_files({path: (None, written(undo))}, mark_of(path))
    sync_folders([path.parent])
    _make_folders(root, undo)
    try:
        _replace(path, contents)
    except BaseException:
        remove_folders(root, undo)
        raise
    return _done(path, undo)


def _missing_folders(root: Path, paths: Iterable[Path]) -> tuple[str, ...]:
    top = root.resolve()
    above = {folder for path in paths for folder in path.parents if folder.is_relative_to(top)}
    return tuple(sorted(folder.relative_to(top).as_posix() for folder in above if not folder.exists()))


def _make_folders(root: Path, undo: Undo) -> None:
    for folder in undo.folders:
        inside(root, folder).mkdir(exist_ok=True)
    sync_folders(inside(root, folder) for folder in undo.folders)


def remove_folders(root: Path, undo: Undo) -> None:
    """The folders that a change made go, where nothing lies in them any more."""
    for folder in reversed(undo.folders):
        path = inside(root, folder)
        if path.is_dir() and not any(path.iterdir()):
            path.rmdir()


def settle(root: Path) -> tuple[str, ...]:
    """Finish the change that a killed run left half made; what was done or must be done, a sentence each.

    Waits for one that another process is making. Where nothing was left it costs a look into a folder.
    """
    try:
        if not _left(root):
            return ()
        with alone(root):
            return _settled(root)
    except (FightnotesError, OSError) as error:
        return (f"a change of the library's files is not finished: {error}",)


def _replace(path: Path, contents: Mapping[Path, tuple[bytes | None, bytes | None]]) -> None:
    """Where that fails the entry goes, unless a file could not be put back: then it stays, to be settled."""
    try:
        replace_files(contents, mark_of(path))
    except BaseException:
        if not any(before != after == bytes_of(file) for file, (before, after) in contents.items()):
            path.unlink()
        raise


def _done(path: Path, undo: Undo) -> Path:
    done = path.with_suffix(DONE)
    if undo.takes_back is None:
        os.replace(path, done)
    else:
        (path.parent / Path(undo.takes_back).name).unlink(missing_ok=True)
        path.unlink()
    sync_folders([path])
    return done


@contextmanager
def alone(root: Path) -> Iterator[None]:
    """Raises FightnotesError where another process does not end its change."""
    import filelock  # only an edit needs it

    try:
        inside(root, LOCK.parent.name).mkdir(exist_ok=True)
        with filelock.FileLock(root / LOCK, timeout=_PATIENCE):
            yield
    except filelock.Timeout as error:
        raise FightnotesError("another command is changing the library's files: try again when it has ended") from error


def _left(root: Path) -> list[Path]:
    """Entries that are begun, and what was to become one. Raises FightnotesError where their folder lies elsewhere."""
    try:
        names = os.listdir(inside(root, FOLDER))
    except OSError:  # no such folder: there was never a change
        return []
    left = (name for name in names if name.endswith(BEGUN) or (name.startswith(".") and name.endswith(".part")))
    return [root / FOLDER / name for name in sorted(left)]


def _settled(root: Path) -> tuple[str, ...]:
    said = []
    for path in _left(root):
        if path.suffix != BEGUN:
            path.unlink()
            continue
        try:
            undo = read_undo(path)
            _sweep(root, path, undo)
            _make_folders(root, undo)
            wanted = {inside(root, file): _finished(root, file, undo) for file in undo.files}
            replace_files({file: two for file, two in wanted.items() if two[0] != two[1]}, mark_of(path))
            _done(path, undo)
        except UnreadableFile as error:
            said.append(
                f"a change was cut off and cannot be finished: {_name_of(path)}. {error}. Put that right and the next "
                f"command finishes it, or delete {FOLDER}/{path.name} and all files stay as they are now"
            )
        else:
            hint = "" if undo.takes_back else "; `fightnotes vocabulary undo` takes it back"
            said.append(f"a change that was cut off is finished: {undo.title}{hint}")
    return tuple(said)


def _name_of(path: Path) -> str:
    try:
        return read_undo(path).title
    except UnreadableFile:
        return path.name


def _sweep(root: Path, path: Path, undo: Undo) -> None:
    for file in undo.files:
        temporary_name(inside(root, file), mark_of(path)).unlink(missing_ok=True)


def _finished(root: Path, file: str, undo: Undo) -> tuple[bytes | None, bytes | None]:
    """What a file holds now and what it shall hold. Raises UnreadableFile where that is not sure."""
    now = read_file(inside(root, file), file)
    digests = undo.files[file]
    if digest_of(now) == digests.after:
        return now, now
    again = [edit for edit in undo.again if edit.file == file]
    text = decoded(now or b"")
    if digest_of(now) != digests.before:
        back = [edit for edit in undo.edits if edit.file == file]
        lines = sum(len(edit.new) - len(edit.old) for edit in again)
        new, old = _found(file, text, back), _found(file, text, again)
        if new and (not old or lines > 0):  # where lines only come, the old ones stand among the new, too
            return now, now
        if now is None or not old or (new and lines == 0):
            raise _unsure(file, now, again, back)
        again = list(old)
    after = edited(file, text, again).encode("utf-8", "surrogateescape")
    return now, None if digests.after is None and not after else after


def _found(file: str, text: str, edits: Iterable[LineEdit]) -> tuple[LineEdit, ...]:
    try:
        return found(file, text, edits)
    except UnreadableFile:
        return ()


def _unsure(file: str, now: bytes | None, again: Iterable[LineEdit], back: Iterable[LineEdit]) -> UnreadableFile:
    if now is None:
        return UnreadableFile(Problem(file, 0, 0, "no file", "the file as it was when the change was cut off"))
    text = decoded(now)
    pairs = list(zip(again, back, strict=False))
    lost = [pair for pair in pairs if not any(_found(file, text, [edit]) for edit in pair)]
    before, after = (lost or pairs)[0]
    expected = f"either {_told(before)}, as before the change, or {_told(after)}, as after it"
    return UnreadableFile(Problem(file, before.line, 1, "lines that another hand changed since", expected))


def _told(edit: LineEdit) -> str:
    return repr("".join(edit.old)) if edit.old else "nothing"
