"""Misheard forms of a name written where the fighter stands: in `library.yaml`, or in the front matter of bouts.

Every other byte stays. A fighter who stands there as bare text (`red: Ines Corvale (southpaw)`) becomes a mapping. What
comes out is read again before it is handed on.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import CollectionNode, MappingNode, Node

from fightnotes.editing.line_edit import LineEdit, Span, edited, edits_of, lines_of, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.editing.vocabulary_text import Entry, flow_entry
from fightnotes.editing.yaml_rewrite import YamlPage, YamlPart, entry_spans, node_text
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Corner, Fighter, unknown_name
from fightnotes.reading.file_names import SETTINGS_FILE
from fightnotes.reading.library import LibraryReading
from fightnotes.reading.note_blocks import front_of
from fightnotes.reading.people import fighter_from
from fightnotes.reading.placed_yaml import Item, Reporter, read_yaml

_KEY = "misheard"
_BYTE_ORDER_MARK = "\ufeff"
Route = tuple[str | int, ...]
"""Keys of mappings and numbers in lists, from the root."""


@dataclass(frozen=True)
class _Matter:
    """YAML in a file, and where in the file it begins."""

    yaml: str
    begin: int


def plan_misheard(reading: LibraryReading, fighter: str, forms: Collection[str], bouts: Collection[str]) -> Plan:
    """Forms added to a fighter, by id, in `library.yaml` where the fighter stands there, else in the front matter of
    those of `bouts`, by id, that have the fighter; of all bouts where none of these has.

    Raises UnknownName where nobody has the id, UnreadableFile where a file cannot be edited so.
    """
    title = f"add a misheard form to {fighter}"
    if any(each.id == fighter for each in reading.settings.fighters):
        text = read_exact(reading.root / SETTINGS_FILE)
        return Plan(title, add_to_listed(text, SETTINGS_FILE, fighter, forms))
    having = [bout for bout in reading.bouts if bout.corner_of(fighter)]
    if not having:
        raise unknown_name("fighter", fighter, [each.id for bout in reading.bouts for each in bout.fighters])
    edits: list[LineEdit] = []
    for bout in [bout for bout in having if bout.id in bouts] or having:
        corner = bout.corner_of(fighter)
        assert corner is not None
        edits += add_to_corner(read_exact(reading.root / bout.file), bout.file, corner, forms)
    return Plan(title, tuple(edits))


def add_to_listed(text: str, file: str, fighter: str, forms: Collection[str]) -> tuple[LineEdit, ...]:
    """The edits of the text of `library.yaml` that add the forms which the fighter with the id lacks."""
    mark = len(_BYTE_ORDER_MARK) * text.startswith(_BYTE_ORDER_MARK)
    matter = _Matter(text[mark:], mark)
    root = read_yaml(matter.yaml, Reporter(file))
    listed = _at(root, ("fighters",))
    for number, item in enumerate((listed and listed.items) or ()):
        found = _fighter(item)
        if found and found.id == fighter:
            return _added(text, file, matter, ("fighters", number), forms)
    raise _refusal(file, listed.line if listed else 1)


def add_to_corner(text: str, file: str, corner: Corner, forms: Collection[str]) -> tuple[LineEdit, ...]:
    """The edits of a bout's note that add the forms which the fighter in the corner lacks."""
    mark = len(_BYTE_ORDER_MARK) * text.startswith(_BYTE_ORDER_MARK)
    last = len(front_of(text[mark:]).split("\n"))
    opening, *inside = lines_of(text)[: max(last - 1, 1)]
    return _added(text, file, _Matter("".join(inside), len(opening)), (corner,), forms)


def _added(text: str, file: str, matter: _Matter, route: Route, forms: Collection[str]) -> tuple[LineEdit, ...]:
    before = _fighter(_at(read_yaml(matter.yaml, Reporter(file)), route))
    if before is None:
        raise _refusal(file, 1)
    new = tuple(form for form in dict.fromkeys(forms) if form not in before.misheard)
    if not new:
        return ()
    wanted = before.model_copy(update={_KEY: (*before.misheard, *new)})
    try:
        page = YamlPage(matter.yaml)
        part = _part_at(page, YAML(typ="safe", pure=True).compose(matter.yaml), route)
    except YAMLError as error:
        raise _refusal(file, 1) from error
    if part is None or part.aliased:
        raise _refusal(file, 1)
    spans = _spans(page, part, wanted)
    moved = [Span(span.start + matter.begin, span.end + matter.begin, span.new) for span in spans]
    edits = edits_of(file, text, moved)
    after = edited(file, text, edits)
    grown = len(after) - len(text)
    read = read_yaml(after[matter.begin : matter.begin + len(matter.yaml) + grown], Reporter(file))
    if _fighter(_at(read, route)) != wanted:
        raise _refusal(file, edits[0].line if edits else 1)
    return edits


def _spans(page: YamlPage, part: YamlPart, wanted: Fighter) -> Iterable[Span]:
    node = part.node
    if isinstance(node, MappingNode):
        standing = dict.fromkeys(page.parts(node, node_text), "")
        return entry_spans(page, node, standing, {**standing, _KEY: wanted.misheard})
    stance: Entry = {"stance": wanted.stance} if wanted.stance else {}
    text = flow_entry({"name": wanted.name, **stance, _KEY: wanted.misheard})
    return [Span(node.start_mark.index, part.stop, text)]


def _fighter(item: Item | None) -> Fighter | None:
    return fighter_from(item, {}, Reporter("")) if item else None


def _at(root: Item | None, route: Route) -> Item | None:
    for step in route:
        if root is None:
            return None
        if isinstance(step, int):
            root = root.items[step] if root.items and step < len(root.items) else None
        else:
            root = next((value for key, value in root.entries or () if key.text == step), None)
    return root


def _part_at(page: YamlPage, root: Node | None, route: Route) -> YamlPart | None:
    part: YamlPart | None = None
    for step in route:
        node = root if part is None else part.node
        if not isinstance(node, CollectionNode) or not node.value or (part and part.aliased):
            return None
        parts = page.parts(node, node_text if isinstance(node, MappingNode) else lambda _: None)
        part = list(parts.values())[step] if isinstance(step, int) else parts.get(step)
        if part is None:
            return None
    return part


def _refusal(file: str, line: int) -> UnreadableFile:
    return UnreadableFile(
        Problem(file, line, 1, "a fighter who cannot be edited in place", "a name, or a mapping without an alias")
    )
