"""A library as git's index has it: what the next commit will hold, whatever stands in the work tree."""

from __future__ import annotations

import os
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from fightnotes.errors import Problem, UnreadableFile, UsageError

_FILE_MODES = (b"100644", b"100755", b"120000")
"""Of a file and of a link, as git-ls-files(1) prints them; what is left is another repository."""
_POINTERS_STAY = ("-c", "filter.lfs.smudge=cat", "-c", "filter.lfs.process=", "-c", "filter.lfs.required=false")
"""Footage that git keeps elsewhere is not fetched."""


@contextmanager
def staged_copy(root: Path) -> Iterator[Path]:
    """The library in `root` with the content that is staged, in a folder that goes again; the work tree stays as it is.

    Raises UsageError where `root` lies in no git work tree or there is no git, UnreadableFile for a file in conflict.
    """
    in_hook = "GIT_INDEX_FILE" in os.environ or "GIT_DIR" in os.environ  # they may be relative to where git runs it
    here = Path.cwd() if in_hook else root
    top = Path(os.fsdecode(_git(here, ["rev-parse", "--show-toplevel"]).removesuffix(b"\n")))
    try:
        inside = root.resolve().relative_to(top.resolve())
    except ValueError as error:
        raise UsageError(f"{root} does not lie in the git work tree {top}") from error
    with tempfile.TemporaryDirectory(prefix="fightnotes-staged-") as folder:
        paths = _staged_paths(top, inside)
        _git(top, [*_POINTERS_STAY, "checkout-index", "-z", "--stdin", f"--prefix={folder}/"], paths)
        copy = Path(folder) / inside
        copy.mkdir(parents=True, exist_ok=True)
        yield copy


def _staged_paths(top: Path, inside: Path) -> bytes:
    """The library's files in the index, each path from the top of the work tree and ended by NUL."""
    within = f":(top,literal){inside.as_posix()}" if inside.parts else ":(top)"
    listed = _git(top, ["ls-files", "--stage", "-z", "--full-name", "--", within])
    paths = []
    for entry in listed.split(b"\0")[:-1]:
        about, path = entry.split(b"\t", 1)
        mode, _, stage = about.split(b" ")
        if stage != b"0":
            file = Path(os.fsdecode(path)).relative_to(inside).as_posix()
            raise UnreadableFile(Problem(file, 0, 0, "a conflict in git's index", "a file that is staged whole"))
        if mode in _FILE_MODES:
            paths.append(path + b"\0")
    return b"".join(paths)


def _git(folder: Path, arguments: Sequence[str], given: bytes = b"") -> bytes:
    try:
        done = subprocess.run(["git", *arguments], input=given, capture_output=True, cwd=folder, check=False)
    except FileNotFoundError as error:
        raise UsageError("there is no git on this machine: what is staged cannot be read") from error
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().removeprefix("fatal: ")
        raise UsageError(f"what is staged cannot be read: git says '{said}'")
    return done.stdout
