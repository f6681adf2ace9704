"""`vocabulary.yaml` brought in place to say what a vocabulary says, with comments, order and style kept.

Old and new are compared value by value, and only what differs is touched, at the places where the
YAML parser found the values. What comes out is read again before it is handed on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from fightnotes.editing.line_edit import LineEdit, Span, edited, edits_of
from fightnotes.editing.vocabulary_entry import changed_entry
from fightnotes.editing.vocabulary_text import Value, block_entry, flow_entry, sections
from fightnotes.editing.yaml_places import Places, entries_of, is_flow
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Vocabulary
from fightnotes.reading.vocabulary_file import CONCEPT_KEYS, TERM_KEYS, read_vocabulary

Entries = Mapping[str, Mapping[str, Value]]

_KEYS = {"concepts": CONCEPT_KEYS, "terms": TERM_KEYS}
_INDENT = "  "


def rewrite_vocabulary(
    text: str, file: str, wanted: Vocabulary, renamed: Mapping[str, str] | None = None
) -> tuple[LineEdit, ...]:
    """The line edits that make `text` say what `wanted` says; `renamed` gives new ids by old.

    A new entry goes behind the one before it in `wanted`; entries that stay keep their order in the
    file. Raises UnreadableFile where the file is no YAML, or written so that it cannot be edited in
    place (with anchors or merged keys, for one).
    """
    standing, problems = read_vocabulary(text, file)
    mark = "\ufeff" if text.startswith("\ufeff") else ""
    body = text.removeprefix(mark)
    try:
        root = YAML(typ="safe", pure=True).compose(body)
    except YAMLError as error:
        raise UnreadableFile(problems[0]) from error
    if isinstance(root, ScalarNode) and not root.value:
        root = None
    if root is not None and not isinstance(root, MappingNode):
        raise UnreadableFile(problems[0])
    spans = _document(Places(body), root, sections(standing), sections(wanted), renamed or {})
    edits = edits_of(file, text, [Span(span.start + len(mark), span.end + len(mark), span.new) for span in spans])
    after, _ = read_vocabulary(edited(file, text, edits), file)
    if sections(after) != sections(wanted):
        line = edits[0].line if edits else 1
        raise UnreadableFile(Problem(file, line, 1, "YAML that cannot be edited in place", "plain keys and lists"))
    return edits


def _document(
    places: Places,
    root: MappingNode | None,
    old: Mapping[str, Entries],
    new: Mapping[str, Entries],
    renamed: Mapping[str, str],
) -> Iterator[Span]:
    parts = entries_of(root) if root is not None else {}
    for key in _KEYS:
        names = renamed if key == "concepts" else {}
        if old[key] == new[key]:
            continue
        if key not in parts:
            yield Span(len(places.text), len(places.text), _at_the_end(places, key, new[key]))
            continue
        key_node, value = parts[key]
        if isinstance(value, SequenceNode) and value.value:
            yield from _section(places, key, value, old[key], new[key], names)
        else:
            lines = chain.from_iterable(block_entry(entry, _INDENT) for entry in new[key].values())
            start, stop = places.behind_colon(key_node), places.value_stop(key_node, value)
            if start == stop:
                start = stop = places.line_stop(places.line_at(start - 1))
            yield Span(start, stop, "".join(places.newline + line for line in lines))


def _at_the_end(places: Places, key: str, entries: Entries) -> str:
    lines = [f"{key}:", *chain.from_iterable(block_entry(entry, _INDENT) for entry in entries.values())]
    begun = places.text and not places.text.endswith(("\r", "\n"))
    return (places.newline if begun else "") + "".join(line + places.newline for line in lines)


def _section(
    places: Places, key: str, section: SequenceNode, old: Entries, new: Entries, renamed: Mapping[str, str]
) -> Iterator[Span]:
    """Entries changed, taken out and put in."""
    identity = _KEYS[key][0]
    standing: dict[str, MappingNode] = {}
    for item in section.value:
        name = _name(item, identity)
        if name is not None and name in old:
            standing.setdefault(name, item)
    now = {renamed.get(name, name): item for name, item in standing.items()}
    for name, item in standing.items():
        target = new.get(renamed.get(name, name))
        if target is not None:
            yield from changed_entry(places, item, old[name], target, _KEYS[key])
    gone = [item for name, item in standing.items() if renamed.get(name, name) not in new]
    yield from _taken_out(places, section, gone)
    behind: Node | None = None
    for name, entry in new.items():
        if name in now:
            behind = now[name]
        else:
            yield _put_in(places, section, behind, entry)


def _name(item: Node, identity: str) -> str | None:
    value = entries_of(item).get(identity) if isinstance(item, MappingNode) else None
    return value[1].value.strip() if value and isinstance(value[1], ScalarNode) else None


def _taken_out(places: Places, section: SequenceNode, gone: list[MappingNode]) -> Iterator[Span]:
    if section.flow_style:
        yield from places.without_flow_items(section.value, gone)
        return
    column = section.start_mark.column
    for item in gone:
        first = _with_blanks_above(places, places.dash_line(item, column))
        yield places.without_lines(first, places.item_stop(item, column))


def _with_blanks_above(places: Places, line: int) -> int:
    while line > 1 and not places.line(line - 1).strip():
        line -= 1
    return line


def _put_in(places: Places, section: SequenceNode, behind: Node | None, entry: Mapping[str, Value]) -> Span:
    """A new entry behind a standing one, or before the first, in the style of the neighbour."""
    neighbour = behind or section.value[0]
    if section.flow_style:
        where = places.start(neighbour)
        begins_line = not places.text[places.line_stop(places.line_at(where) - 1) : where].strip()
        gap = places.newline + " " * neighbour.start_mark.column if begins_line and places.line_at(where) else " "
        if behind is None:
            return Span(where, where, f"{flow_entry(entry)},{gap}")
        return Span(places.stop(behind), places.stop(behind), f",{gap}{flow_entry(entry)}")
    column = section.start_mark.column
    dash = places.dash_line(neighbour, column)
    indent = places.line(dash)[:column]
    lines = [f"{indent}- {flow_entry(entry)}"] if is_flow(neighbour) else block_entry(entry, indent)
    if behind is None:
        where = places.line_stop(_with_blanks_above(places, dash) - 1)
    else:
        where = places.item_stop(behind, column)
        blank_above = not places.line(dash - 1).strip()
        if _blank_behind(places, where) or (blank_above and behind is section.value[-1]):
            lines.insert(0, "")
    return Span(where, where, "".join(places.newline + line for line in lines))


def _blank_behind(places: Places, stop: int) -> bool:
    number = places.line_at(max(stop - 1, 0)) + 1
    return number < places.line_count() and not places.line(number).strip()
