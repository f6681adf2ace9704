"""One entry of `vocabulary.yaml` changed in place, value by value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from fightnotes.reading.line_edit import Span
from fightnotes.reading.vocabulary_text import Value, scalar, shown
from fightnotes.reading.yaml_places import Places, entries_of


def changed_entry(
    places: Places, node: MappingNode, old: Mapping[str, Value], new: Mapping[str, Value], keys: Sequence[str]
) -> Iterator[Span]:
    """The spans that make `node`, which says `old`, say `new`; a new key goes where `keys` has it."""
    standing = entries_of(node)
    behind = standing[keys[0]]
    for key in keys:
        value = new.get(key)
        if key not in standing:
            if value:
                yield _put_in(places, node, behind, f"{key}: {shown(key, value)}")
            continue
        if old.get(key) != value:
            if not value:
                yield _taken_out(places, node, key)
                continue
            yield from _changed_value(places, key, *standing[key], value)
        behind = standing[key]


def _put_in(places: Places, node: MappingNode, behind: tuple[Node, Node], text: str) -> Span:
    key, value = behind
    stop = max(places.stop(value), places.behind_colon(key))
    if node.flow_style:
        return Span(stop, stop, f", {text}")
    where = places.line_stop(places.line_at(stop - 1))
    return Span(where, where, f"{places.newline}{' ' * node.start_mark.column}{text}")


def _taken_out(places: Places, node: MappingNode, key: str) -> Span:
    index = next(index for index, (name, _) in enumerate(node.value) if name.value == key)
    name, value = node.value[index]
    stop = max(places.stop(value), places.behind_colon(name))
    following = node.value[index + 1][0] if index + 1 < len(node.value) else None
    line = places.line_at(places.start(name))
    shares_line = bool(places.text[places.line_stop(line - 1) if line else 0 : places.start(name)].strip())
    if not node.flow_style and not shares_line:
        return places.without_lines(line, places.line_stop(places.line_at(stop - 1)))
    if following is not None:
        return Span(places.start(name), places.start(following), "")
    return Span(places.stop(node.value[index - 1][1]), stop, "")


def _changed_value(places: Places, key: str, name: ScalarNode, node: Node, value: Value) -> Iterator[Span]:
    if isinstance(node, ScalarNode) and node.value.strip() and (isinstance(value, str) or len(value) == 1):
        one = value if isinstance(value, str) else value[0]
        yield Span(places.start(node), places.stop(node), scalar(one, node.style if node.style in ("'", '"') else None))
        return
    changes = _list(places, node, value) if isinstance(node, SequenceNode) and isinstance(value, tuple) else None
    if changes is not None:
        yield from changes
        return
    start = places.behind_colon(name)
    yield Span(start, max(start, places.stop(node)), f" {shown(key, value)}")


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
