"""Filters in words, for a picture that nobody sees the command of."""

from __future__ import annotations

from collections.abc import Iterable

from fightnotes.search.filters import Filters

_NAMES = {"rounds": "round", "tags": "tag", "kind": "in"}


def filters_said(filters: Filters, leave_out: Iterable[str] = ("bout", "tags")) -> list[str]:
    """`only: by corvale; round 1-4`, a line at most; the fields of `leave_out` are told elsewhere."""
    given = filters.model_dump(exclude=set(leave_out), exclude_defaults=True)
    told = "; ".join(f"{_NAMES.get(name, name)} {_said(value)}".strip() for name, value in given.items())
    return [f"only: {told}"] if told else []


def _said(value: object) -> str:
    if value is True:
        return ""
    if isinstance(value, tuple):
        joined = "-" if all(isinstance(each, int) for each in value) else ", "
        return joined.join(dict.fromkeys(str(each) for each in value))
    return str(value)
