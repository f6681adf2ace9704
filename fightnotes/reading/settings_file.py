"""`library.yaml`: from YAML to `Settings`."""

from __future__ import annotations

from typing import Any

from fightnotes.errors import Problem
from fightnotes.model import OUTCOMES, Settings
from fightnotes.reading.grammar import value_word
from fightnotes.reading.people import fighters_from
from fightnotes.reading.placed_yaml import Item, Reporter, mapping_of, parsed, read_yaml, text_of, texts_of
from fightnotes.reading.round_format import rounds_from
from fightnotes.reading.values import LENGTH, handles_from, length_of

_KEYS = (
    "title", "rounds", "handles", "media_roots", "default_length", "outcomes", "fighters", "model", "audit",
)  # fmt: skip


def read_settings(text: str, file: str) -> tuple[Settings, tuple[Problem, ...]]:
    """What `library.yaml` says; what it says wrongly is reported and its default holds."""
    reporter = Reporter(file)
    root = read_yaml(text, reporter)
    found = mapping_of(root, _KEYS, reporter) if root else {}
    default = Settings()
    length = parsed(found.get("default_length"), length_of, LENGTH, reporter)
    own_outcomes = tuple(value_word(word) for word in texts_of(found.get("outcomes"), reporter))
    return Settings(
        title=text_of(found.get("title"), reporter) or default.title,
        rounds=rounds_from(found.get("rounds"), None, reporter),
        handles=handles_from(found.get("handles"), default.handles, reporter),
        media_roots=texts_of(found.get("media_roots"), reporter),
        default_length=length or default.default_length,
        outcomes=tuple(dict.fromkeys((*OUTCOMES, *own_outcomes))),
        fighters=fighters_from(found.get("fighters"), reporter),
        model=text_of(found.get("model"), reporter),
        audit=_plain_mapping(found.get("audit"), reporter),
    ), tuple(reporter.problems)


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
