"""The program with all its commands, for whoever calls it from Python."""

from __future__ import annotations

from fightnotes.cli.program import program

app = program()
