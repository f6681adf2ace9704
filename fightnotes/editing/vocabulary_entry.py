"""One entry of `vocabulary.yaml` changed in place, value by value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from fightnotes.editing.line_edit import Span
from fightnotes.editing.vocabulary_text import Value, scalar, shown
from fightnotes.editing.yaml_places import Places, entries_of, without_parts


def changed_entry(
    places: Places, node: MappingNode, old: Mapping[str, Value], new: Mapping[str, Value], keys: Sequence[str]
) -> Iterator[Span]:
    """The spans that make `node`, which says `old`, say `new`; a new key goes where `keys` has it."""
    standing = entries_of(node)
    behind = standing[keys[0]]
    gone = {key for key in keys if key in standing and old.get(key) and not new.get(key)}
    yield from _taken_out(places, node, [standing[key][0] for key in gone])
    for key in keys:
        value = new.get(key)
        if key not in standing:
            if value:
                yield _put_in(places, node, behind, f"{key}: {shown(key, value)}")
            continue
        if key in gone:
            continue
        if value and old.get(key) != value:
            yield from _changed_value(places, key, *standing[key], value)
        behind = standing[key]


def _put_in(places: Places, node: MappingNode, behind: tuple[Node, Node], text: str) -> Span:
    key, value = behind
    stop = places.value_stop(key, value)
    if node.flow_style:
        return Span(stop, stop, f", {text}")
    where = places.line_stop(places.line_at(stop - 1))
    return Span(where, where, f"{places.newline}{' ' * node.start_mark.column}{text}")


def _taken_out(places: Places, node: MappingNode, gone: list[ScalarNode]) -> Iterator[Span]:
    names = {id(name) for name in gone}
    out = {index for index, (name, _) in enumerate(node.value) if id(name) in names}
    parts = [(places.start(name), places.value_stop(name, value)) for name, value in node.value]
    if node.flow_style:
        yield from without_parts(parts, out)
        return
    kept = min(index for index in range(len(parts)) if index not in out)
    if kept:  # the key that stands behind the dash goes: the first one kept takes its place
        yield Span(parts[0][0], parts[kept][0], "")
    for index in out:
        if index > kept:
            start, stop = parts[index]
            yield places.without_lines(places.line_at(start), places.line_stop(places.line_at(stop - 1)))


def _changed_value(places: Places, key: str, name: ScalarNode, node: Node, value: Value) -> Iterator[Span]:
    if isinstance(node, ScalarNode) and node.value.strip() and (isinstance(value, str) or len(value) == 1):
        one = value if isinstance(value, str) else value[0]
        yield Span(places.start(node), places.stop(node), scalar(one, node.style if node.style in ("'", '"') else None))
        return
    changes = _list(places, node, value) if isinstance(node, SequenceNode) and isinstance(value, tuple) else None
    if changes is not None:
        yield from changes
        return
    yield Span(places.behind_colon(name), places.value_stop(name, node), f" {shown(key, value)}")


def _list(places: Places, node: SequenceNode, wanted: tuple[str, ...]) -> list[Span] | None:
    """The spans that make a list of scalars say `wanted`; None where it had better be written anew."""
    items: dict[str, ScalarNode] = {}
    for item in node.value:
        if not isinstance(item, ScalarNode) or item.value.strip() in items:
            return None
        items[item.value.strip()] = item
    kept = [text for text in items if text in wanted]
    added = [text for text in wanted if text not in items]
    if kept and (*kept, *added) == wanted:
        gone = [item for text, item in items.items() if text not in wanted]
        return [*_items_out(places, node, gone), *_items_in(places, node, added)]
    if len(items) == len(wanted):
        pairs = zip(items.items(), wanted, strict=True)
        return [
            Span(places.start(item), places.stop(item), scalar(text, item.style if item.style in ("'", '"') else None))
            for (old, item), text in pairs
            if old != text
        ]
    return None


def _items_out(places: Places, node: SequenceNode, gone: list[ScalarNode]) -> Iterator[Span]:
    if node.flow_style:
        yield from places.without_flow_items(node.value, gone)
        return
    for item in gone:
        line = places.dash_line(item, node.start_mark.column)
        yield places.without_lines(line, places.line_stop(places.line_at(places.stop(item) - 1)))


def _items_in(places: Places, node: SequenceNode, added: list[str]) -> Iterator[Span]:
    if not added:
        return
    stop = places.stop(node.value[-1])
    if node.flow_style:
        yield Span(stop, stop, "".join(f", {scalar(text)}" for text in added))
        return
    where = places.line_stop(places.line_at(stop - 1))
    dash = places.newline + " " * node.start_mark.column + "- "
    yield Span(where, where, "".join(dash + scalar(text) for text in added))
