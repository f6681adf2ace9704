"""What a person expects of any command line: version, help, completion, words without quotes."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tomllib
from importlib.metadata import entry_points
from pathlib import Path

import pytest
from typer.testing import CliRunner

from fightnotes import __version__
from fightnotes.cli.program import COMMANDS, program_for
from tests.cli.reference import commands
from tests.cli.terminal import environment, piped
from tests.conftest import RunCommand

PYPROJECT = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))
HEAVY = {"faiss", "numpy", "onnxruntime", "fightnotes.library", "fightnotes.model", "sqlite3"}
"""Modules that completing must not wait for."""


def places(run: RunCommand, *words: str | Path) -> list[str]:
    result = run(words[0], "--format", "json", *words[1:])
    assert result.exit_code == 0, result.stderr
    return [f"{hit['file']}:{hit['line']}" for hit in json.loads(result.stdout)["hits"]]


def test_the_version_is_that_of_the_package(fightnotes: RunCommand) -> None:
    result = fightnotes("--version")
    assert (result.exit_code, result.stdout) == (0, f"fightnotes {__version__}\n")
    assert PYPROJECT["project"]["version"] == __version__


@pytest.mark.parametrize("name", ["fightnotes", "fightnotes vocabulary", *(command.name for command in commands())])
def test_every_command_has_help_under_both_names(fightnotes: RunCommand, name: str) -> None:
    words = name.split()[1:]
    short, long = fightnotes(*words, "-h"), fightnotes(*words, "--help")
    assert (short.exit_code, short.stdout) == (0, long.stdout)
    assert "-h, --help" in short.stdout


def test_as_a_module_it_has_its_own_name() -> None:
    done = piped("find", "--limit", "none")
    assert done.returncode == 2
    assert done.stderr.decode().startswith("Usage: fightnotes find")
    assert PYPROJECT["project"]["scripts"] == {"fightnotes": "fightnotes.__main__:main"}
    assert [script.name for script in entry_points(group="console_scripts", name="fightnotes")]


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("fightnotes ", ["build", "find", "vocabulary"]),
        ("fightnotes find --pai", ["--pairing"]),
        ("fightnotes find --pairing ", ["open", "closed", "unknown"]),
        ("fightnotes vocabulary re", ["rename", "retire"]),
    ],
)
def test_completion(words: str, offered: list[str]) -> None:
    """By the protocol between bash and typer's script: COMP_WORDS, and the number of the word being typed."""
    number = str(len(words.split(" ")) - 1)
    done = piped(_FIGHTNOTES_COMPLETE="complete_bash", COMP_WORDS=words, COMP_CWORD=number)
    assert done.returncode == 0
    assert set(offered) <= set(done.stdout.decode().split())


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_bash_itself_completes_by_the_script_that_is_shown(tmp_path: Path) -> None:
    script = piped("--show-completion", "bash").stdout.decode()
    program = tmp_path / "fightnotes"
    program.write_text(f'#!/bin/sh\nexec {sys.executable} -m fightnotes "$@"\n')
    program.chmod(0o755)
    asked = f"""{script}
COMP_WORDS=(fightnotes find --form) COMP_CWORD=2
_fightnotes_completion {program}
echo "${{COMPREPLY[@]}}" """
    done = subprocess.run(["bash", "-c", asked], env=environment(), capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["--format"]


def test_completing_opens_no_library_and_loads_nothing_heavy() -> None:
    program = (
        "import sys\ntry:\n    from fightnotes.__main__ import main\n    main()\n"
        "finally:\n    print(*sys.modules, file=sys.stderr)"
    )
    more = {"_FIGHTNOTES_COMPLETE": "complete_bash", "COMP_WORDS": "fightnotes find --b", "COMP_CWORD": "2"}
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment(**more), capture_output=True, text=True, check=False
    )
    assert done.stdout.split() == ["--by", "--bout"]
    assert not HEAVY & set(done.stderr.split())


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_alone_is_the_one_of_the_whole_program(name: str, fightnotes: RunCommand) -> None:
    alone = CliRunner().invoke(program_for([name, "-h"]), [name, "-h"])
    assert (alone.exit_code, alone.stdout) == (0, fightnotes(name, "-h").stdout)


@pytest.mark.parametrize("words", [["find", "jab"], ["jab"], ["--version"], []])
def test_a_command_line_loads_the_command_that_it_names_and_else_all(words: list[str]) -> None:
    code = (
        "import sys; from fightnotes.cli.program import COMMANDS, program_for; program_for(sys.argv[1:]); "
        "print(*(name for name in COMMANDS if f'fightnotes.cli.{name}' in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ([words[0]] if "find" in words else list(COMMANDS))


def test_a_query_needs_no_quotes(root: Path, fightnotes: RunCommand) -> None:
    quoted = places(fightnotes, "find", "lead foot outside", "--library", root, "--limit", "4")
    assert quoted[0] == "bouts/first.md:19"
    for words in (
        ("find", "lead", "foot", "outside", "-n", "4", "--library", root),
        ("find", "--library", root, "-n", "4", "lead", "foot", "outside"),
        ("find", "lead", "--library", root, "foot", "-n4", "outside"),
        ("find", "--library", root, "-n", "4", "--", "lead", "foot", "outside"),
    ):
        assert places(fightnotes, *words) == quoted


def test_a_query_may_begin_with_a_dash(root: Path, fightnotes: RunCommand) -> None:
    assert fightnotes("find", "-foot", "--library", root).exit_code == 2
    found = json.loads(fightnotes("find", "--library", root, "--format", "json", "--", "-foot", "outside").stdout)
    assert found["query"] == "-foot outside"
    assert found["hits"]


def test_cut_takes_words_and_a_limit_as_find_does(root: Path, fightnotes: RunCommand) -> None:
    made = [
        json.loads(fightnotes("cut", *words, "--library", root, "--format", "json").stdout)["cuts"]
        for words in (("lead foot outside", "--limit", "2"), ("lead", "foot", "-n", "2", "outside"))
    ]
    assert made[0]
    assert made[0] == made[1]


def test_quotes_that_reach_the_program_still_ask_for_the_very_words(root: Path, fightnotes: RunCommand) -> None:
    assert places(fightnotes, "find", '"low', 'guard"', "bait", "--library", root) == ["bouts/third.md:11"]


def test_the_short_limit_everywhere(root: Path, fightnotes: RunCommand) -> None:
    for command in commands():
        if "--limit" in fightnotes(*command.name.split()[1:], "-h").stdout:
            assert "-n, --limit" in fightnotes(*command.name.split()[1:], "-h").stdout, command.name
