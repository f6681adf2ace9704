"""Any encoding of the output, a reader that goes away, a full disk, the interrupt key, colours and terminals."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from fightnotes.library import Library
from tests.cli.terminal import PROGRAM, at_terminal, environment, piped
from tests.conftest import RunCommand

ENCODINGS = ("ascii", "latin-1", "ascii:strict", "cp1252")
C_LOCALE = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
"""Python then writes ASCII (PEP 538 and PEP 540 would have it write UTF-8)."""
ESCAPE = "\x1b"
STYLE = re.compile(r"\x1b\[[0-9;]*m")
"""Select Graphic Rendition (ECMA-48, 8.3.117)."""


@pytest.mark.parametrize("encoding", ENCODINGS)
@pytest.mark.parametrize("format", ["table", "csv", "json", "timestamps", "markdown"])
def test_no_encoding_ends_a_command(root: Path, encoding: str, format: str) -> None:
    done = piped("find", "hands", "down", "--format", format, "--library", root, PYTHONIOENCODING=encoding)
    assert (done.returncode, b"Traceback" in done.stderr) == (0, False)
    shown = done.stdout.decode(encoding.partition(":")[0])
    assert ("Iturbe" in shown) == (format != "timestamps"), "without media time it stands in no such list"
    if format == "json":
        texts = [hit["text"] for hit in json.loads(shown)["hits"]]
        assert any("Iturbeña" in text for text in texts)
        assert any("風堀" in text for text in texts)
        assert shown.isascii()
    else:
        assert ("\\xf1" in shown) == (encoding.startswith("ascii") and format != "timestamps")
        assert "\\u98a8\\u5800" in shown


def test_the_language_c(root: Path) -> None:
    done = piped("find", "hands", "down", "--library", root, **C_LOCALE)
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert b"---------" in done.stdout
    assert b"Iturbe\\xf1a" in done.stdout


def test_quotes_and_dots_get_a_plain_form(root: Path) -> None:
    done = piped("find", "doesn't", "outsyde", "--library", root, PYTHONIOENCODING="ascii")
    assert b"\\u201c" not in done.stdout + done.stderr
    assert b"\\u2026" not in done.stdout + done.stderr


def test_what_is_asked_of_the_encoding_is_kept(root: Path) -> None:
    done = piped("find", "hands", "down", "--library", root, PYTHONIOENCODING="ascii:replace")
    assert b"Iturbe?a" in done.stdout


def reader_gone(*words: str | Path, both: bool = False) -> tuple[int, str]:
    """Exit status and standard error of a command whose output nobody reads any more."""
    reading, writing = os.pipe()
    os.close(reading)
    with subprocess.Popen(
        [*PROGRAM, *map(str, words)],
        stdout=writing,
        stderr=writing if both else subprocess.PIPE,
        env=environment(),
        text=True,
    ) as process:
        os.close(writing)
        _, said = process.communicate(timeout=120)
    return process.returncode, said or ""


@pytest.mark.parametrize("format", ["table", "json", "csv", "timestamps", "markdown"])
def test_a_reader_that_goes_away(root: Path, format: str) -> None:
    status, said = reader_gone("find", "jab", "--format", format, "--library", root)
    assert status == 128 + signal.SIGPIPE
    assert "Error" not in said
    assert "Traceback" not in said


def test_a_reader_that_goes_away_from_help_and_messages(root: Path, tmp_path: Path) -> None:
    assert reader_gone("--help") == (141, "")
    assert reader_gone("find", "--help") == (141, "")
    assert reader_gone("find", "jab", "--library", root, both=True)[0] == 141
    assert reader_gone("find", "jab", "--library", tmp_path / "none", both=True)[0] == 141


def test_a_shell_pipe_to_head(root: Path) -> None:
    command = f"{' '.join(PROGRAM)} find jab --format csv --library '{root}' | head -1"
    done = subprocess.run(["bash", "-c", command], env=environment(), capture_output=True, text=True, check=True)
    assert done.stdout.startswith("bout,file,line,")
    assert done.stderr == ""


def test_a_full_disk_is_said(root: Path) -> None:
    for words in (["find", "jab", "--library", str(root)], ["--version"]):
        with Path("/dev/full").open("w") as full:
            done = subprocess.run(
                [*PROGRAM, *words], stdout=full, stderr=subprocess.PIPE, env=environment(), text=True, check=False
            )
        assert (done.returncode, done.stderr) == (1, "fightnotes: standard output: No space left on device\n")


@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
def test_a_stream_that_the_shell_closed(root: Path, closed: str) -> None:
    command = f"{' '.join(PROGRAM)} find jab --library '{root}' {closed}"
    done = subprocess.run(["bash", "-c", command], env=environment(), capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_the_interrupt_key_while_a_question_waits(root: Path) -> None:
    command = [*PROGRAM, "suggest", "--review", "--above", "0", "--library", str(root)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment()
    ) as process:
        assert process.stderr is not None
        said = b""
        while b"s stop: " not in said:
            said += os.read(process.stderr.fileno(), 65536)
        process.send_signal(signal.SIGINT)
        _, rest = process.communicate(timeout=120)
    assert (process.returncode, rest) == (130, b"interrupted\n")


_KEY = """
import sys
module = sys.argv.pop()
class Key:
    def find_spec(self, name, path=None, target=None):
        if name == module:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Key())
from fightnotes.__main__ import main
main()
"""


def test_the_interrupt_key_while_the_program_loads() -> None:
    """A finder of modules stands for the key: it interrupts where the module is loaded."""
    for module in ("typer", "fightnotes.cli.find"):
        done = subprocess.run(
            [sys.executable, "-c", _KEY, module], env=environment(), capture_output=True, text=True, check=False
        )
        assert (done.returncode, done.stderr) == (130, "")


def test_the_interrupt_key_while_a_command_works(
    root: Path,
    fightnotes: RunCommand,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupted(*words: object, **settings: object) -> None:
        raise KeyboardInterrupt

    for command, method in (("find", "find"), ("build", "build"), ("audit", "audit"), ("propose", "propose")):
        monkeypatch.setattr(Library, method, interrupted)
        result = fightnotes(command, "--library", root)
        assert (result.exit_code, result.stdout) == (130, "")
        assert result.stderr.endswith("interrupted\n")


def test_a_terminal_gets_styles_and_a_pipe_none(root: Path) -> None:
    words = ("find", "jab", "--library", root)
    assert ESCAPE in at_terminal(*words)[1]
    assert ESCAPE not in piped(*words).stdout.decode()
    assert ESCAPE in piped(*words, FORCE_COLOR="1").stdout.decode()


COMMANDS = (("build",), ("find", "jab"), ("suggest",), ("vocabulary", "show"), ("audit",), ("cut", "jab"))


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_escapes_where_none_are_wanted(root: Path, words: tuple[str, ...]) -> None:
    """NO_COLOR: no-color.org, an informal standard; it counts when not empty, and says nothing of a bar's cursor. A
    dumb terminal: common practice."""
    for more in ({"NO_COLOR": "1"}, {"NO_COLOR": "1", "FORCE_COLOR": "1"}):
        assert not STYLE.search(at_terminal(*words, "--library", root, **more)[1])
    assert ESCAPE not in at_terminal(*words, "--library", root, TERM="dumb")[1]
    done = piped(*words, "--library", root)
    assert ESCAPE not in (done.stdout + done.stderr).decode()


def test_an_empty_no_color_is_none(root: Path) -> None:
    assert ESCAPE in at_terminal("find", "jab", "--library", root, NO_COLOR="")[1]
