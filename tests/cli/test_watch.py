"""`build --watch`: builds again when files change, says so, outlives a bad file and ends with the interrupt key."""

from __future__ import annotations

import time

from tests.cli.terminal import running
from tests.conftest import MakeLibrary, RunCommand

WATCH = ("build", "--watch", "--library")
NOTE = "---\nbout: a\ntitle: A\nmedia: {file: a.mp4, rate: 25}\n---\n- 0:10 A jab.\n"


def test_files_that_change_are_built_again(make_library: MakeLibrary) -> None:
    root = make_library({"bouts/a.md": NOTE})
    with running(*WATCH, root) as watched:
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
    with running(*WATCH, root) as watched:
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
