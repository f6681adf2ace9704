"""Targets that the note's words, or the library's own use of the tag, speak against.

A target belongs to one act. Where several tags of a note share the one that stands behind them, nothing says whose it
is: it counts for none of them, and is doubted only where no tag that shares it has it elsewhere.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle, too_few
from fightnotes.language.results import targets_said
from fightnotes.model import Act, Segment, acts_of

_SUPPORT = 5
_SHARE = 0.96
"""Set by hand."""


def contradicted_target(data: AuditData) -> Iterator[Remark | TooLittle]:
    usual: dict[str, Counter[str]] = defaultdict(Counter)
    for note in data.notes:
        for acts in _sharing_a_target(note):
            if len(acts) == 1 and acts[0].concept:
                usual[acts[0].concept][acts[0].fields.target[0]] += 1
    for note in data.notes:
        target, said = _against_the_words(note) or _against_other_uses(note, usual) or (None, "")
        if target:
            yield Remark((data.place(note),), said, f"target:{target}")
    few = sum(counted.total() < _SUPPORT for counted in usual.values())
    yield from too_few(few, len(usual), f"tags with a target of their own have fewer than {_SUPPORT}: the words alone")


def _sharing_a_target(note: Segment) -> Iterator[list[Act]]:
    """The acts with one target, those together that have it from behind the tags and not from their parentheses."""
    acts = acts_of(note)
    own = [bool(tag.own.target) for tag in note.tags] or [True]
    single = [(act, alone) for act, alone in zip(acts, own, strict=True) if len(act.fields.target) == 1]
    yield from ([act] for act, alone in single if alone)
    if shared := [act for act, alone in single if not alone]:
        yield shared


def _against_the_words(note: Segment) -> tuple[str, str] | None:
    """The target, and what is said, where all acts have one and the words speak of another alone."""
    targets = {act.fields.target for act in acts_of(note)}
    written = targets.pop()
    if targets or len(written) != 1:
        return None
    said = _parts_said(note.text)
    if len(said) != 1 or said & set(written):
        return None
    return written[0], f"the note speaks of the {said.pop()}, and its target is {written[0]}"


def _against_other_uses(note: Segment, usual: Mapping[str, Counter[str]]) -> tuple[str, str] | None:
    for acts in _sharing_a_target(note):
        target = acts[0].fields.target[0]
        if target in _parts_said(note.text):
            continue
        others = [(act.concept, usual.get(act.concept or "", Counter()).copy()) for act in acts]
        if len(others) == 1:
            others[0][1][target] -= 1  # its own
        if any(counted[target] > 0 and counted[target] > (1 - _SHARE) * counted.total() for _, counted in others):
            continue
        for concept, counted in others:
            other, often = max(counted.items(), key=lambda item: item[1], default=("", 0))
            if counted.total() >= _SUPPORT and often >= _SHARE * counted.total():
                return (
                    target,
                    f"target is {target}, and {often} of {counted.total()} other #{concept} go to the {other}",
                )
    return None


def _parts_said(text: str) -> set[str]:
    return {one.value for one in targets_said(text)}
