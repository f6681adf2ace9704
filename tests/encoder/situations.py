"""The paraphrase set: situations of a bout, each said in many ways, from which the encoder learns the trade's ear.

`situations/*.yaml` are written by hand, each file by another hand. A situation has a plain name, phrasings in five
styles, queries, and the ids of situations that are easily taken for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field
from ruamel.yaml import YAML

FOLDER = Path(__file__).with_name("situations")
STYLES = ("code", "prose", "image", "speech", "misheard")
"""Shorthand; written sentences; metaphor or the indirect sign; unpunctuated speech; speech with misheard words."""


class Situation(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str = Field(pattern=r"[a-z0-9]+(-[a-z0-9]+)*")
    name: str
    near: tuple[str, ...] = Field(min_length=2)
    """Situations that are easily taken for it and are not the same."""
    code: tuple[str, ...] = Field(min_length=4)
    prose: tuple[str, ...] = Field(min_length=5)
    image: tuple[str, ...] = Field(min_length=3)
    speech: tuple[str, ...] = Field(min_length=3)
    misheard: tuple[str, ...] = Field(min_length=2)
    ask: tuple[str, ...] = Field(min_length=4)
    """Queries, as an analyst types them."""
    file: str = ""

    def said(self, styles: Iterable[str] = STYLES) -> tuple[str, ...]:
        """The phrasings in some styles."""
        return tuple(phrasing for style in styles for phrasing in getattr(self, style))


@cache
def situations() -> tuple[Situation, ...]:
    """All of them, file by file."""
    yaml = YAML(typ="safe", pure=True)
    return tuple(
        Situation(**entry, file=path.stem)
        for path in sorted(FOLDER.glob("*.yaml"))
        for entry in yaml.load(path.read_text(encoding="utf-8"))
    )
