from __future__ import annotations

import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from fightnotes.editing.atomic import made_whole, write_file
from fightnotes.errors import FightnotesError


def test_a_file_is_written_whole_its_folder_too_and_its_bits_stay(tmp_path: Path) -> None:
    path = tmp_path / "new" / "list.edl"
    write_file(path, b"one\r\n")
    path.chmod(0o640)
    write_file(path, "twö\r\n".encode())
    assert path.read_bytes() == "twö\r\n".encode()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [one.name for one in path.parent.iterdir()] == ["list.edl"]


def test_what_breaks_off_leaves_what_was_there(tmp_path: Path) -> None:
    path = tmp_path / "reel.mp4"
    path.write_bytes(b"an older reel")

    def half() -> None:
        with made_whole(path) as made:
            assert (made.suffix, made.parent.parent) == (".mp4", tmp_path)
            made.write_bytes(b"half")
            made.with_name("scratch").write_bytes(b"more")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        half()
    assert path.read_bytes() == b"an older reel"
    assert [one.name for one in tmp_path.iterdir()] == ["reel.mp4"]


def test_what_a_killed_run_left_of_the_same_file_goes_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "reel.mp4"
    script = (
        "import os, sys\nfrom pathlib import Path\nfrom fightnotes.editing.atomic import made_whole\n"
        "with made_whole(Path(sys.argv[1])) as made:\n    made.write_bytes(b'half')\n    os.kill(os.getpid(), 9)\n"
    )
    for file in (path, tmp_path / "other.mp4"):
        assert subprocess.run([sys.executable, "-c", script, file], check=False).returncode == -9
    (tmp_path / ".reel.mp4.mine").mkdir()
    with made_whole(path) as made:
        write_file(path, b"another who is quicker")
        made.write_bytes(b"the last")
    assert path.read_bytes() == b"the last"
    left = sorted(re.sub(r"\d+-\w+$", "", one.name) for one in tmp_path.iterdir())
    assert left == [".other.mp4.", ".reel.mp4.mine", "reel.mp4"]


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(FightnotesError, match=r"file/list\.edl: cannot be written"):
        write_file(tmp_path / "file" / "list.edl", b"")
