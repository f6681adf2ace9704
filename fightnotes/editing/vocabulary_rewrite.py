"""`vocabulary.yaml` brought in place to say what a vocabulary says, with comments, order and style kept.

How an entry is written is `yaml_rewrite`'s. What comes out is read again before it is handed on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, SequenceNode

from fightnotes.editing.line_edit import LineEdit, Span, edited, edits_of
from fightnotes.editing.vocabulary_text import Entry, block_entry, flow_entry, sections
from fightnotes.editing.yaml_rewrite import YamlPage, YamlPart, anew, entry_spans, node_text, together
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Vocabulary
from fightnotes.reading.vocabulary_file import CONCEPT_KEYS, TERM_KEYS, read_vocabulary

Entries = Mapping[str, Entry]
Names = Mapping[str, str]

_IDENTITY = {"concepts": CONCEPT_KEYS[0], "terms": TERM_KEYS[0]}


def rewrite_vocabulary(text: str, file: str, wanted: Vocabulary, renamed: Names | None = None) -> tuple[LineEdit, ...]:
    """The line edits that make `text` say what `wanted` says; `renamed` gives new ids by old.

    A new entry goes behind the one before it in `wanted`; entries that stay keep their order in the file. What
    goes takes the comments on its own lines along. Raises UnreadableFile where the file is no YAML, or written
    so that it cannot be edited in place (with an alias of what goes, for one).
    """
    standing, problems = read_vocabulary(text, file)
    try:
        root = YAML(typ="safe", pure=True).compose(text)
        page = YamlPage(text)
    except YAMLError as error:
        raise UnreadableFile(problems[0]) from error
    if root is not None and not isinstance(root, MappingNode) and root.value:
        raise UnreadableFile(problems[0])
    parts = page.parts(root, node_text) if isinstance(root, MappingNode) else {}
    old, new = sections(standing), sections(wanted)
    spans: list[Span] = []
    for key in sorted(new, key=lambda key: key not in parts):  # a new section goes behind what grows at the end
        if old[key] != new[key]:
            names = (renamed or {}) if key == "concepts" else {}
            said = {names.get(name, name): entry for name, entry in old[key].items()}
            spans += _section(page, key, parts.get(key), said, new[key], names)
    edits = edits_of(file, text, spans)
    after, _ = read_vocabulary(edited(file, text, edits), file)
    if sections(after) != new:
        line = edits[0].line if edits else 1
        raise UnreadableFile(Problem(file, line, 1, "YAML that cannot be edited in place", "plain keys and lists"))
    return edits


def _section(
    page: YamlPage, key: str, part: YamlPart | None, old: Entries, new: Entries, names: Names
) -> Iterator[Span]:
    """Entries changed, taken out and put in; `old` is by new names, which `names` gives by those that stand there."""
    node = part.node if part and not part.aliased else None
    if isinstance(node, SequenceNode) and node.value:
        rows = page.parts(node, lambda item: _identity(item, _IDENTITY[key], names))
        texts: dict[str, str | None] = dict.fromkeys(old.keys() - new.keys())
        beside = next(iter(rows.values()))
        for name, entry in new.items():
            beside = rows.get(name, beside)
            if name not in rows:
                texts[name] = _new_entry(entry, beside.node, node, page.indent(beside.start))
            elif isinstance(beside.node, MappingNode) and old.get(name) != entry:
                yield from entry_spans(page, beside.node, old.get(name, {}), entry)
        yield from together(page, node, rows, texts, new)
        return
    lines = "".join(page.newline + line for entry in new.values() for line in block_entry(entry, "  "))
    if part is None:
        begun = page.text and not page.text.endswith(("\r", "\n"))
        yield Span(len(page.text), len(page.text), f"{page.newline if begun else ''}{key}:{lines}{page.newline}")
    elif not part.aliased and part.node.value in ([], "", "~", "null"):
        yield Span(part.start, part.end, anew(page, part, f"{key}:", False) + lines)


def _identity(item: Node, key: str, names: Names) -> str | None:
    entries = item.value if isinstance(item, MappingNode) else ()
    found = next((node_text(value) for name, value in entries if node_text(name) == key), None)
    return names.get(found, found) if found else None


def _new_entry(entry: Entry, beside: Node, section: SequenceNode, indent: str) -> str:
    if isinstance(beside, CollectionNode) and beside.flow_style:
        return ("" if section.flow_style else "- ") + flow_entry(entry)
    return indent.join(block_entry(entry, ""))
