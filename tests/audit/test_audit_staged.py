"""`fightnotes audit --staged` in real git repositories: what git will commit, whatever stands in the work tree."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.audit.test_audit_cases import FRONT_MATTER, VOCABULARY
from tests.audit.test_audit_command import found
from tests.conftest import RunCommand

CLEAN = f"{FRONT_MATTER}- R1 1:50 A turn. #pivot by:corvale\n"
WRONG = CLEAN.replace("#pivot", "#whirl")
Git = Callable[..., str]
GONE = {name: "" for name in os.environ if name.startswith("GIT_")}
PACKAGE = Path(__file__).parents[2]


@pytest.fixture
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A clean library in a folder of a repository, committed."""
    for name in GONE:
        monkeypatch.delenv(name)
    root = tmp_path / "the work" / "my library"
    (root / "bouts").mkdir(parents=True)
    (root / "library.yaml").write_text("")
    (root / "vocabulary.yaml").write_text(VOCABULARY)
    (root / "bouts/bout.md").write_text(CLEAN)
    (root.parent / "elsewhere.md").write_text("no note\n")
    return root


@pytest.fixture
def git(library: Path) -> Git:
    def run(*words: str, check: bool = True) -> str:
        identity = ("-c", "user.name=mk", "-c", "user.email=mk@example.org", "-c", "commit.gpgsign=false")
        done = subprocess.run(
            ["git", *identity, *words], cwd=library.parent, check=check, capture_output=True, text=True
        )
        return done.stdout + done.stderr

    run("init", "--quiet")
    run("add", "--all")
    run("commit", "--quiet", "--message", "a clean library")
    return run


@pytest.fixture
def staged(library: Path, fightnotes: RunCommand) -> Callable[[], list[str]]:
    def run() -> list[str]:
        words = ("audit", "--staged", "--library", library, "--only", "unknown-tag", "--only", "unreadable-part")
        result = fightnotes(*words, "--format", "json")
        assert result.exit_code == bool(found(result)), result.stderr
        return [f"{one['places'][0]['file']} {one['about']}" for one in json.loads(result.stdout)["findings"]]

    return run


def test_staged_clean_and_dirty_in_the_work_tree(library: Path, git: Git, staged: Callable[[], list[str]]) -> None:
    (library / "bouts/bout.md").write_text(WRONG)
    before = git("status", "--porcelain")
    assert staged() == []
    assert git("status", "--porcelain") == before
    assert (library / "bouts/bout.md").read_text() == WRONG


def test_staged_dirty_and_clean_in_the_work_tree(library: Path, git: Git, staged: Callable[[], list[str]]) -> None:
    (library / "bouts/bout.md").write_text(WRONG)
    git("add", "--all")
    (library / "bouts/bout.md").write_text(CLEAN)
    assert staged() == ["bouts/bout.md #whirl"]


def test_a_file_that_is_staged_in_part(library: Path, git: Git, staged: Callable[[], list[str]]) -> None:
    (library / "bouts/bout.md").write_text(CLEAN + "- R1 1:40 A spin. #spin by:corvale\n")
    git("add", "--all")
    (library / "bouts/bout.md").write_text(
        CLEAN + "- R1 1:40 A spin. #spin by:corvale\n- R1 1:30 A spin. #whirl by:corvale\n"
    )
    assert staged() == ["bouts/bout.md #spin"]


@pytest.mark.parametrize("name", ["with blanks  and 'quotes'.md", "with\na newline.md", "-c.md", ":(top) ñ*.md"])
def test_names_that_a_shell_would_trip_over(
    name: str, library: Path, git: Git, staged: Callable[[], list[str]]
) -> None:
    (library / "bouts" / name).write_text(WRONG.replace("corvale-brandaal-2031", "another"))
    assert staged() == [], "it is not staged"
    git("add", "--all")
    assert staged() == [f"bouts/{name} #whirl"]


def test_deleted_and_renamed_files(library: Path, git: Git, staged: Callable[[], list[str]]) -> None:
    (library / "bouts/bout.md").write_text(WRONG)
    git("commit", "--quiet", "--all", "--message", "a wrong tag")
    git("mv", "my library/bouts/bout.md", "my library/bouts/moved.md")
    assert staged() == ["bouts/moved.md #whirl"]
    git("rm", "--quiet", "--cached", "my library/bouts/moved.md")
    assert (library / "bouts/moved.md").exists()
    assert staged() == []


def test_settings_vocabulary_and_sources_are_those_that_are_staged(
    library: Path, git: Git, staged: Callable[[], list[str]]
) -> None:
    (library / "vocabulary.yaml").write_text(VOCABULARY.replace("id: pivot, label: pivot", "id: turn, label: turn"))
    (library / "second.md").write_text("- R1 1:50 A turn. #turn\n")
    sources = "analyst: mk\nsources: [{file: ../second.md, kind: notes, analyst: dv}]"
    (library / "bouts/bout.md").write_text(CLEAN.replace("analyst: mk", sources).replace("#pivot", "#turn"))
    git("add", "my library/bouts", "my library/vocabulary.yaml")
    assert staged() == ["second.md No such file or directory"]
    git("add", "--all")
    assert staged() == []


def test_a_baseline_counts_where_it_is_staged(library: Path, git: Git, fightnotes: RunCommand) -> None:
    (library / "bouts/bout.md").write_text(WRONG)
    git("add", "--all")
    assert fightnotes("audit", "--library", library, "--set-baseline").exit_code == 0
    unread = fightnotes("audit", "--staged", "--library", library)
    assert unread.exit_code == 1
    assert "baseline: audit-baseline.json is not staged, and was not read: `git add` it" in unread.stdout
    git("add", "--all")
    assert fightnotes("audit", "--staged", "--library", library).exit_code == 0


def test_a_conflict_is_named(library: Path, git: Git, fightnotes: RunCommand) -> None:
    git("checkout", "--quiet", "-b", "other")
    (library / "bouts/bout.md").write_text(WRONG)
    git("commit", "--quiet", "--all", "--message", "one")
    git("checkout", "--quiet", "-")
    (library / "bouts/bout.md").write_text(CLEAN.replace("A turn", "A spin"))
    git("commit", "--quiet", "--all", "--message", "another")
    git("merge", "other", check=False)
    result = fightnotes("audit", "--staged", "--library", library)
    assert result.exit_code == 1
    assert "bouts/bout.md: found a conflict in git's index" in result.stderr


def test_outside_of_git_it_says_so(library: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("audit", "--staged", "--library", library)
    assert result.exit_code == 2
    assert "not a git repository" in result.stderr
    assert fightnotes("audit", "--staged", "--library", library, "--fix").exit_code == 2


def test_as_a_hook_it_holds_a_commit_up(library: Path, git: Git) -> None:
    program = f'"{sys.executable}" -c "from fightnotes.cli.main import app; app()"'
    hook = library.parent / ".git/hooks/pre-commit"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text(
        f"#!/bin/sh\nexport PYTHONPATH='{PACKAGE}'\n"
        f"exec {program} audit --staged --library 'my library' --only unknown-tag\n"
    )
    hook.chmod(0o755)
    (library / "bouts/bout.md").write_text(WRONG)
    # git gives the hook an index of its own for a commit of named files
    refused = git("commit", "--message", "a wrong tag", "my library/bouts/bout.md", check=False)
    assert "#whirl names no concept" in refused
    assert "a wrong tag" not in git("log")
    (library / "bouts/bout.md").write_text(CLEAN + "- R1 1:40 A jab. #jab by:corvale\n")
    git("add", "--all")
    (library / "bouts/bout.md").write_text(WRONG)
    git("commit", "--message", "a jab")
    assert "a jab" in git("log")
