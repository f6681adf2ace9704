"""Makes the stores that earlier versions left: python -m tests.index.stores.make COMMIT [COMMIT ...]

The code of each commit builds `library/`, in a folder of its own and with the packages of this environment. What it
leaves in `.fightnotes/` becomes `vN.tar.gz`, N being the schema that the commit names. Of an encoder its card alone is
kept, which names its model, as its weights are large and no other version reads them.
"""

from __future__ import annotations

import gzip
import io
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[2]
BUILD = """
import sys
from pathlib import Path
import fightnotes
from fightnotes.index.layout import SCHEMA_VERSION
fightnotes.open_library(Path(sys.argv[1])).build()
print(SCHEMA_VERSION)
"""
WRITTEN_NS = 1_577_836_800 * 10**9
"""When every file of `library/` was last written, as far as a build can tell: 2020."""


def stores() -> dict[int, Path]:
    """The packed stores that are kept, by their schema."""
    return {int(path.name.removeprefix("v").partition(".")[0]): path for path in HERE.glob("v*.tar.gz")}


def copy_library(root: Path) -> None:
    """The text files that all the stores were made of, with the times that they had then."""
    shutil.copytree(HERE / "library", root)
    for path in root.rglob("*"):
        if path.is_file():
            os.utime(path, ns=(WRITTEN_NS, WRITTEN_NS))


def unpack(store: Path, root: Path) -> None:
    """Puts a store that is kept under a library."""
    with tarfile.open(store) as archive:
        archive.extractall(root / ".fightnotes", filter="data")


def make(commit: str) -> Path:
    """Packs what the code of a commit builds, and gives where."""
    with tempfile.TemporaryDirectory() as folder:
        code, library = Path(folder, "code"), Path(folder, "library")
        source = subprocess.run(["git", "archive", commit, "fightnotes"], check=True, capture_output=True, cwd=ROOT)
        with tarfile.open(fileobj=io.BytesIO(source.stdout)) as archive:
            archive.extractall(code, filter="data")
        copy_library(library)
        its_own = {**os.environ, "PYTHONPATH": str(code), "XDG_CACHE_HOME": str(Path(folder, "cache"))}
        built = subprocess.run(
            [sys.executable, "-c", BUILD, library], check=True, stdout=subprocess.PIPE, env=its_own, cwd=folder
        )
        packed = HERE / f"v{int(built.stdout)}.tar.gz"
        pack(library / ".fightnotes", packed)
    return packed


def pack(store: Path, packed: Path) -> None:
    """The same bytes for the same store, whenever it is packed."""

    def kept(entry: tarfile.TarInfo) -> tarfile.TarInfo | None:
        if "encoder-" in entry.name and entry.isfile() and not entry.name.endswith("encoder.json"):
            return None
        entry.uid = entry.gid = entry.mtime = 0
        entry.uname = entry.gname = ""
        return entry

    with gzip.GzipFile(packed, "wb", mtime=0) as file, tarfile.open(fileobj=file, mode="w") as archive:
        for path in sorted(store.iterdir()):
            archive.add(path, path.name, filter=kept)


if __name__ == "__main__":
    for commit in sys.argv[1:]:
        print(make(commit))
