"""`library.yaml`: from YAML to `Settings`."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from fightnotes.clock import parse_media_time
from fightnotes.errors import Problem
from fightnotes.model import OUTCOMES, Handles, Settings
from fightnotes.reading.front_matter import rounds_from
from fightnotes.reading.grammar import value_word
from fightnotes.reading.people import fighters_from
from fightnotes.reading.placed_yaml import Item, Reporter, mapping_of, parsed, read_yaml, text_of, texts_of

_KEYS = (
    "title", "rounds", "handles", "media_roots", "default_length", "outcomes", "fighters", "model", "audit",
)  # fmt: skip
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?")
_LENGTH = "a length above zero in seconds, such as 12 or 0:12"


def read_settings(text: str, file: str) -> tuple[Settings, tuple[Problem, ...]]:
    """What `library.yaml` says; what it says wrongly is reported and its default holds."""
    reporter = Reporter(file)
    root = read_yaml(text, reporter)
    found = mapping_of(root, _KEYS, reporter) if root else {}
    default = Settings()
    handles = mapping_of(found["handles"], ("before", "after"), reporter) if "handles" in found else {}
    before = parsed(handles.get("before"), _seconds, "seconds, such as 2 or 0:02", reporter)
    after = parsed(handles.get("after"), _seconds, "seconds, such as 2 or 0:02", reporter)
    length = parsed(found.get("default_length"), _length, _LENGTH, reporter)
    own_outcomes = tuple(value_word(word) for word in texts_of(found.get("outcomes"), reporter))
    return Settings(
        title=text_of(found.get("title"), reporter) or default.title,
        rounds=rounds_from(found.get("rounds"), None, reporter),
        handles=Handles(
            before=default.handles.before if before is None else before,
            after=default.handles.after if after is None else after,
        ),
        media_roots=texts_of(found.get("media_roots"), reporter),
        default_length=length or default.default_length,
        outcomes=tuple(dict.fromkeys((*OUTCOMES, *own_outcomes))),
        fighters=fighters_from(found.get("fighters"), reporter),
        model=text_of(found.get("model"), reporter),
        audit=_plain_mapping(found.get("audit"), reporter),
    ), tuple(reporter.problems)


def _seconds(text: str) -> Fraction:
    """Seconds as a number or as `m:ss`. Raises ValueError for anything else."""
    return Fraction(text) if _NUMBER.fullmatch(text) else parse_media_time(text)


def _length(text: str) -> Fraction:
    seconds = _seconds(text)
    if seconds == 0:
        raise ValueError(text)
    return seconds


def _plain(item: Item) -> Any:
    if item.entries is not None:
        return {key.text or "": _plain(value) for key, value in item.entries}
    if item.items is not None:
        return [_plain(child) for child in item.items]
    return item.text


def _plain_mapping(item: Item | None, reporter: Reporter) -> dict[str, Any]:
    if item is None:
        return {}
    plain = _plain(item)
    if isinstance(plain, dict):
        return plain
    reporter.of(item, "a mapping")
    return {}
