"""What `start` and `check` print of the untidy folder, as `expected/` holds it.

`python -m tests.starting.golden` writes it anew; look at the difference before you keep it.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from typer.testing import CliRunner

from fightnotes.cli.main import app
from tests.starting.untidy import write_untidy

EXPECTED = Path(__file__).with_name("expected")


def outputs(folder: Path) -> dict[str, str]:
    """By file of `expected/`: the diff, the messages, and the page after it."""
    root = write_untidy(folder / "Ten years")
    started = CliRunner().invoke(app, ["start", str(root)])
    checked = CliRunner().invoke(app, ["check", "--library", str(root)])
    return {"start.diff": started.stdout, "start.txt": started.stderr, "check.txt": checked.stdout}


if __name__ == "__main__":
    os.environ.pop("COLUMNS", None)
    with tempfile.TemporaryDirectory() as made:
        for name, text in outputs(Path(made)).items():
            (EXPECTED / name).write_text(text, encoding="utf-8")
