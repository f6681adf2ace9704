"""Targets that the note's words, or the library's own use of the tag, speak against."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.results import targets_said
from fightnotes.model import Act, Segment, acts_of

_SUPPORT = 5
_SHARE = 0.96
"""Set by hand."""


def contradicted_target(data: AuditData) -> Iterator[Remark]:
    usual = _usual_targets(data)
    for note in data.notes:
        acts = acts_of(note)
        written = {target for act in acts for target in act.fields.target}
        said = {one.value for one in targets_said(note.text)}
        for act in acts:
            if len(act.fields.target) != 1:
                continue
            target = act.fields.target[0]
            of_one_target = len({tuple(one.fields.target) for one in acts}) == 1
            if of_one_target and len(said) == 1 and not said & written:
                told = f"the note speaks of the {next(iter(said))}, and its target is {target}"
                yield _remark(data, note, act, told)
                break
            often, of, other = _usual_but(usual, act.concept, target)
            if of >= _SUPPORT and often >= _SHARE * of and target not in said:
                said_so = f"target is {target}, and {often} of {of} other #{act.concept} go to the {other}"
                yield _remark(data, note, act, said_so)
                break


def _remark(data: AuditData, note: Segment, act: Act, message: str) -> Remark:
    return Remark((data.place(note),), message, f"target:{act.fields.target[0]}")


def _usual_targets(data: AuditData) -> dict[str, Counter[str]]:
    counted: dict[str, Counter[str]] = defaultdict(Counter)
    for note in data.notes:
        for act in acts_of(note):
            if act.concept and len(act.fields.target) == 1:
                counted[act.concept][act.fields.target[0]] += 1
    return counted


def _usual_but(usual: dict[str, Counter[str]], concept: str | None, target: str) -> tuple[int, int, str]:
    """How many of how many other uses have one target, and which; never the one asked about."""
    counted = usual.get(concept or "", Counter())
    others = [(count, name) for name, count in counted.items() if name != target]
    if not others:
        return 0, 0, ""
    often, name = max(others)
    return often, counted.total() - 1, name
