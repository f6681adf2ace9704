"""The README says what the program does: its reference is the program's own, and CI runs its test command."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fightnotes.cutting import EXPORTS
from fightnotes.model import OUTCOMES, TARGETS, Settings
from fightnotes.reading.captions import READERS
from fightnotes.reading.grammar import FIELD_KEYS
from tests.cli.reference import Command, commands, in_readme, parameters, reference

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
NOT_OURS = {"--help", "--write", "--version", "--install-completion", "--show-completion"}
"""Options in the README that typer adds, and that the reference's own mark names."""


def test_the_reference_is_that_of_the_program() -> None:
    assert in_readme(README) == reference(), "write it anew: python -m tests.cli.reference --write"


@pytest.mark.parametrize("command", list(commands()), ids=lambda command: command.name)
def test_every_parameter_has_a_row_that_tells_what_it_does(command: Command) -> None:
    _, _, section = in_readme(README).partition(f"### `{command.name}`\n")
    told = dict(re.findall(r"^\| `(.+)` \| (.*) \|$", section.partition("### ")[0], re.MULTILINE))
    assert command.help
    assert all(told.values())
    assert [written.replace("\\|", "|") for written in told] == [each.written for each in parameters(command)]


def test_the_readme_tells_of_no_option_that_is_not_there() -> None:
    known = {name for command in commands() for each in parameters(command) for name in each.names}
    assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", README)) <= known | NOT_OURS


def test_there_are_options_to_look_at() -> None:
    assert sum(len(parameters(command)) for command in commands()) > 100


def test_the_readme_lists_what_the_tables_hold() -> None:
    """What grows by a row in a table: exports, caption formats, words of the fields; and the default length."""
    for known in EXPORTS:
        assert f"| `{known.name}` | {known.suffix} |" in README
    said = " ".join(README.split())
    for key in FIELD_KEYS:
        assert f"`{key}:" in README
    assert f"`outcome:` ({', '.join(OUTCOMES)}, and your own)" in said
    assert f"`target:` ({', '.join(TARGETS)})" in said
    assert f"transcripts/*{'|'.join(READERS)} ".replace("|.", "|") in said
    assert f"at most {Settings().default_length} s (`default_length` in `library.yaml`)" in said


def test_ci_runs_the_test_command_of_the_readme() -> None:
    command = "bash .ci/test"
    assert f"```sh\n{command}\n```" in README
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, job = README.split("\n\n")[:2]
    assert title == "# fightnotes"
    assert "fightnotes find" in job
