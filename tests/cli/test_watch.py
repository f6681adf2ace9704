"""`build --watch`: builds again when files change, says so, outlives a bad file and ends with the interrupt key."""

from __future__ import annotations

import re
import signal
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.cli.terminal import PROGRAM, environment
from tests.conftest import MakeLibrary, RunCommand

NOTE = "---\nbout: a\ntitle: A\nmedia: {file: a.mp4, rate: 25}\n---\n- 0:10 A jab.\n"


class Watching:
    """A running `build --watch`, with all that it has said so far, on both streams."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self.said = ""
        self._reader = threading.Thread(target=self._read)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said += line

    def wait_for(self, pattern: str) -> None:
        """Until the pattern was said after what was waited for before."""
        for _ in range(3000):
            if found := re.search(pattern, self.said, re.DOTALL):
                self.said = self.said[found.end() :]
                return
            time.sleep(0.02)
        raise AssertionError(f"{pattern} was not said: {self.said}")

    def end(self) -> int:
        self.process.send_signal(signal.SIGINT)
        status = self.process.wait(timeout=60)
        self._reader.join()
        return status


@contextmanager
def watching(root: Path) -> Iterator[Watching]:
    command = [*PROGRAM, "build", "--watch", "--library", str(root)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment(), text=True
    ) as process:
        try:
            yield Watching(process)
        finally:
            process.kill()


def test_files_that_change_are_built_again(make_library: MakeLibrary) -> None:
    root = make_library({"bouts/a.md": NOTE})
    with watching(root) as watched:
        watched.wait_for(r"watching .*Ctrl-C ends it\n.*moments: 1; bouts: 1\n")
        (root / "bouts" / "a.md").write_text(NOTE + "- 0:20 A hook.\n", encoding="utf-8")
        watched.wait_for(r"changed: bouts/a\.md\n.*moments: 2; bouts: 1\n")
        (root / "bouts" / "b.md").write_bytes(b"---\nbout: [\n---\n- 0:10 \xff\n")
        watched.wait_for(r"changed: bouts/b\.md\n.*problems: .*bouts/b\.md")
        (root / "library.yaml").write_text("model: no-such-model\n", encoding="utf-8")
        watched.wait_for(r"changed: library\.yaml\n.*fightnotes: .*no-such-model")
        (root / "bouts" / "b.md").unlink()
        watched.wait_for(r"changed: bouts/b\.md\n")
        assert watched.end() == 0
    assert watched.said.endswith("watching ended\n")
    assert "Traceback" not in watched.said


def test_what_no_build_reads_starts_none(make_library: MakeLibrary) -> None:
    root = make_library({"bouts/a.md": NOTE})
    with watching(root) as watched:
        watched.wait_for(r"moments: 1; bouts: 1\nfiles read: [^\n]*\n")
        (root / "bouts" / ".a.md.swp").write_text("x")
        (root / "a.mp4").write_bytes(b"x")
        (root / "undo").mkdir()
        (root / "undo" / "one.md").write_text("x")
        time.sleep(1.5)
        (root / "vocabulary.yaml").write_text("concepts:\n- {id: jab, label: jab}\n")
        watched.wait_for(r"^changed: vocabulary\.yaml\n")
        assert watched.end() == 0


def test_it_goes_with_no_document(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    result = fightnotes("build", "--watch", "--format", "json", "--library", make_library({}))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "--watch" in result.stderr
