"""The README says what the program does: every command and every option stands in it, and CI runs its test command."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.main import get_command

from fightnotes.cli.main import app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
EVERYWHERE = {"--help"}


def options() -> list[tuple[str, str]]:
    """Each command with each of its long options."""
    found = []
    waiting = [("", get_command(app))]
    while waiting:
        name, command = waiting.pop()
        waiting += [(f"{name} {child}".strip(), each) for child, each in getattr(command, "commands", {}).items()]
        for parameter in command.params:
            found += [(name, option) for option in parameter.opts if option.startswith("--")]
    return sorted(set(found))


@pytest.mark.parametrize(("command", "option"), options())
def test_every_option_is_documented(command: str, option: str) -> None:
    assert command in README
    assert option in EVERYWHERE or option in README


def test_there_are_options_to_look_at() -> None:
    assert len(options()) > 60


def test_ci_runs_the_test_command_of_the_readme() -> None:
    command = "bash .ci/test"
    assert f"```sh\n{command}\n```" in README
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, job = README.split("\n\n")[:2]
    assert title == "# fightnotes"
    assert "fightnotes find" in job
