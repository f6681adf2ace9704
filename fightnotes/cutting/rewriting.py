"""The file of a saved cut list brought in place to say another list: comments and all that stays are kept.

An entry moves with the comments above it and inside it. What comes out is read again before it is handed on.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import MappingNode, SequenceNode

from fightnotes.clock import format_timecode
from fightnotes.cutting.saved import SavedList, SavedMoment, entry_text, saved_of_text
from fightnotes.editing.line_edit import Span, edited, edits_of
from fightnotes.editing.vocabulary_text import scalar
from fightnotes.editing.yaml_rewrite import YamlPage, YamlPart, anew, node_text, together
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Handles
from fightnotes.reading.values import written_seconds

_KEYS = ("title", "handles", "inside_round", "reel_start", "cuts")
_ENTRY_KEYS = ("at", "time", "words", "title", "handles")


def rewrite_saved(text: str, file: str, wanted: SavedList, handles: Handles) -> str:
    """`text` so that it says `wanted`; `handles` are what a list has that gives none.

    Raises UnreadableFile where something in the file cannot be read, or it is written so that it cannot be edited in
    place (with an alias, for one).
    """
    standing, problems = saved_of_text(text, file, handles)
    if problems:
        raise UnreadableFile(problems[0])
    try:
        root, page = YAML(typ="safe", pure=True).compose(text), YamlPage(text)
    except YAMLError as error:
        raise _uneditable(file) from error
    if not isinstance(root, MappingNode):
        raise _uneditable(file)
    parts = page.parts(root, node_text)
    old, new = _head(standing), _head(wanted)
    texts: dict[str, str | None] = dict.fromkeys(old.keys() & parts.keys() - new.keys())
    for key, line in new.items():
        if old.get(key) != line:
            texts[key] = anew(page, parts[key], line, False) if key in parts else line
    spans: list[Span] = []
    if standing.moments != wanted.moments:
        items = _items(page, parts["cuts"])
        if len(items) == len(standing.moments) > 0 and wanted.moments:
            spans.append(_reordered(page, items, standing.moments, wanted.moments))
        else:
            texts["cuts"] = anew(page, parts["cuts"], _cuts(page, wanted.moments), False)
    order = [key for key in _KEYS if key in parts or key in texts]
    spans += together(page, root, parts, texts, order)
    written = edited(file, text, edits_of(file, text, spans))
    after, remaining = saved_of_text(written, file, handles)
    as_wanted = after == wanted if standing.handles == wanted.handles else _said(after) == _said(wanted)
    if remaining or not as_wanted:
        raise _uneditable(file)
    return written


def _head(saved: SavedList) -> dict[str, str]:
    """A line for each key that the whole list has."""
    lines = {"title": f"title: {scalar(saved.title)}", "handles": f"handles: {_handles(saved.handles)}"}
    if saved.inside_round:
        lines["inside_round"] = "inside_round: true"
    if saved.reel_start:
        lines["reel_start"] = f"reel_start: {scalar(format_timecode(saved.reel_start))}"
    return lines


def _items(page: YamlPage, cuts: YamlPart) -> list[YamlPart]:
    """The entries where each begins a line with its dash; none where they are written otherwise."""
    node = cuts.node
    if cuts.aliased or not isinstance(node, SequenceNode) or node.flow_style or not node.value:
        return []
    return list(page.parts(node, lambda item: None).values())


def _reordered(
    page: YamlPage, items: Sequence[YamlPart], standing: Sequence[SavedMoment], wanted: Sequence[SavedMoment]
) -> Span:
    """The whole list of entries as it shall stand: each with what stood between it and the one before it."""
    indent = page.indent(items[0].start)
    above = [indent, *(page.text[one.end : other.start] for one, other in pairwise(items))]
    free = dict(enumerate(standing))
    new = ""
    for moment in wanted:
        number = next((each for each, one in free.items() if one == moment), None)
        if number is None:
            number = next((each for each, one in free.items() if _same(one, moment)), None)
        if number is None:
            between, entry = indent, indent.join(_entry_lines(moment))
        else:
            between, entry = above[number], _entry(page, items[number], free.pop(number), moment)
        new += between + entry if new else between.lstrip(" \t\r\n") + entry
    return Span(items[0].start, items[-1].end, new)


def _entry(page: YamlPage, item: YamlPart, standing: SavedMoment, wanted: SavedMoment) -> str:
    """The text of an entry, its title and handles as they shall be."""
    text = page.text[item.start : item.end]
    node = item.node
    old, new = _card(standing), _card(wanted)
    if old == new or not isinstance(node, MappingNode):
        return text
    parts = page.parts(node, node_text)
    texts: dict[str, str | None] = dict.fromkeys(old.keys() & parts.keys() - new.keys())
    for key, line in new.items():
        if old.get(key) != line:
            texts[key] = anew(page, parts[key], line, bool(node.flow_style)) if key in parts else line
    order = [key for key in _ENTRY_KEYS if key in parts or key in texts]
    spans = sorted(together(page, node, parts, texts, order), key=lambda span: (span.start, span.end))
    for span in reversed(spans):  # of two at one place the one that only puts in comes last
        text = text[: span.start - item.start] + span.new + text[span.end - item.start :]
    return text


def _card(moment: SavedMoment) -> dict[str, str]:
    """A line for each key of an entry that a person gives."""
    lines = {"title": f"title: {scalar(moment.title)}"} if moment.title is not None else {}
    return lines | ({"handles": f"handles: {_handles(moment.handles)}"} if moment.handles else {})


def _cuts(page: YamlPage, moments: Sequence[SavedMoment]) -> str:
    if not moments:
        return "cuts: []"
    return page.newline.join(["cuts:", *(f"  {line}" for moment in moments for line in _entry_lines(moment))])


def _entry_lines(moment: SavedMoment) -> list[str]:
    """Without endings, the dash at the beginning of the first."""
    return [line.removeprefix("  ") for line in entry_text(moment).rstrip("\n").split("\n")]


def _handles(handles: Handles) -> str:
    return f"{{before: {written_seconds(handles.before)}, after: {written_seconds(handles.after)}}}"


def _same(one: SavedMoment, other: SavedMoment) -> bool:
    return (one.place, one.time, one.words) == (other.place, other.time, other.words)


def _said(saved: SavedList) -> tuple[dict[str, str], list[tuple[str, str | None, str, str | None, bool]]]:
    """What must be read back where the list's handles change: with them go those that an entry gives in part."""
    rows = [(one.place, one.time, one.words, one.title, one.handles is not None) for one in saved.moments]
    return _head(saved), rows


def _uneditable(file: str) -> UnreadableFile:
    return UnreadableFile(Problem(file, 1, 1, "YAML that cannot be edited in place", "plain keys and a list of cuts"))
