"""`vocabulary.yaml` -> a vocabulary, with every fault at its place and the rest read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from fightnotes.errors import Problem, ProblemKind
from fightnotes.model import MATCH_KINDS, Concept, Term, Vocabulary
from fightnotes.model.conditions import RULES, S14, Breach, breaches
from fightnotes.model.labels import fold
from fightnotes.reading.grammar import is_concept_id
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, mapping_of, read_yaml, text_of, texts_of

CONCEPT_KEYS = (
    "id", "label", "also", "misheard", "broader", "related", "definition", "scope", "pairing", "notation", "match",
    "address",
)  # fmt: skip
TERM_KEYS = ("say", "misheard")
_BREACH: ProblemKind = "vocabulary-condition"
ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:[^\x00-\x20<>\"{}|^`\\\x7f-\xa0\u2028\u2029]+")
"""An IRI (RFC 3987) with its scheme, as Turtle writes one between angle brackets."""
_MATCH = re.compile(rf"(?:{'|'.join(MATCH_KINDS)}) {ADDRESS.pattern}")


def read_vocabulary(text: str, file: str) -> tuple[Vocabulary, tuple[Problem, ...]]:
    """The vocabulary that `text` holds, and what is wrong in it, in the order of the file.

    A concept without a usable id is left out, and so is the second of two with one id; one without
    a label takes the words of its id. `file` is the path that the problems name.
    """
    reporter = Reporter(file)
    root = read_yaml(text.removeprefix("\ufeff"), reporter)
    if root is None:
        return Vocabulary(), tuple(reporter.problems)
    top = mapping_of(root, ("concepts", "terms"), reporter)
    concepts: list[Concept] = []
    places: dict[tuple[str, int], Item] = {}
    for item in items_of(top["concepts"], reporter) if "concepts" in top else ():
        concept = _concept(item, reporter)
        if concept:
            places.setdefault((concept.id, item.line), item)
            concepts.append(concept)
    terms = [_term(item, reporter) for item in (items_of(top["terms"], reporter) if "terms" in top else ())]
    for breach in breaches(Vocabulary(concepts=tuple(concepts))):
        _report(breach, places[breach.concept, breach.line], reporter)
    first: dict[str, Concept] = {}
    for concept in concepts:
        first.setdefault(fold(concept.id), concept)
    vocabulary = Vocabulary(concepts=tuple(first.values()), terms=tuple(term for term in terms if term))
    return vocabulary, tuple(sorted(dict.fromkeys(reporter.problems)))


def _concept(item: Item, reporter: Reporter) -> Concept | None:
    entries = mapping_of(_with_one_label(item, reporter), CONCEPT_KEYS, reporter)
    identity = _id(entries.get("id"), item, reporter)
    if identity is None:
        return None
    label = text_of(entries.get("label"), reporter)
    if not label:
        reporter.of(entries.get("label", item), f"a label for {identity}", "no label")
    pairing = text_of(entries.get("pairing"), reporter)
    if pairing not in (None, "open", "closed"):
        reporter.of(entries["pairing"], "open or closed")
    return Concept(
        id=identity,
        label=label or identity.replace("-", " "),
        also=_labels(entries.get("also"), reporter),
        misheard=_labels(entries.get("misheard"), reporter),
        broader=_links(entries.get("broader"), reporter),
        related=_links(entries.get("related"), reporter),
        definition=text_of(entries.get("definition"), reporter) or "",
        scope=text_of(entries.get("scope"), reporter) or "",
        pairing="open" if pairing == "open" else "closed" if pairing == "closed" else None,
        notation=tuple(sorted(_labels(entries.get("notation"), reporter))),
        match=_matches(entries.get("match"), reporter),
        address=_address(entries.get("address"), reporter),
        line=item.line,
    )


def _with_one_label(item: Item, reporter: Reporter) -> Item:
    """The concept with the first of its preferred labels; S14 is reported at each other."""
    kept: list[tuple[Item, Item]] = []
    for key, value in item.entries or ():
        if key.text == "label":
            if any(earlier.text == "label" for earlier, _ in kept):
                reporter.of(key, RULES[S14], f"S14: a second preferred label, {value.shown()}", _BREACH)
                continue
            first, *others = value.items or (value,)
            for other in others:
                reporter.of(other, RULES[S14], f"S14: a second preferred label, {other.shown()}", _BREACH)
            kept.append((key, first))
        else:
            kept.append((key, value))
    return replace(item, entries=tuple(kept)) if item.entries is not None else item


def _term(item: Item, reporter: Reporter) -> Term | None:
    entries = mapping_of(item, TERM_KEYS, reporter)
    say = text_of(entries.get("say"), reporter)
    if not say:
        if item.entries is not None:
            reporter.of(entries.get("say", item), "the word under 'say'", "no word")
        return None
    return Term(say=say, misheard=_labels(entries.get("misheard"), reporter))


def _id(item: Item | None, concept: Item, reporter: Reporter) -> str | None:
    written = text_of(item, reporter)
    if not written:
        if concept.entries is not None and (item is None or item.text is not None):
            reporter.of(item or concept, "an id for the concept", "no id")
        return None
    if not is_concept_id(written):
        reporter.of(item or concept, "a letter, then letters, digits and hyphens, with no hyphen last")
        return None
    return written


def _labels(item: Item | None, reporter: Reporter) -> tuple[str, ...]:
    """The labels of a list, each once as written."""
    if item is None:
        return ()
    seen: dict[str, None] = {}
    for child in items_of(item, reporter):
        label = text_of(child, reporter)
        if label in seen:
            reporter.of(child, "each label once")
        elif label:
            seen[label] = None
    return tuple(seen)


def _links(item: Item | None, reporter: Reporter) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts_of(item, reporter)))


def _matches(item: Item | None, reporter: Reporter) -> tuple[str, ...]:
    found: set[str] = set()
    for child in items_of(item, reporter) if item else ():
        words = " ".join((text_of(child, reporter) or "").split())
        if _MATCH.fullmatch(words):
            found.add(words)
        elif child.text is not None:
            reporter.of(child, f"{', '.join(MATCH_KINDS)}, a space and the address of a concept")
    return tuple(sorted(found))


def _address(item: Item | None, reporter: Reporter) -> str:
    written = text_of(item, reporter) or ""
    if item and item.text is not None and not ADDRESS.fullmatch(written):
        reporter.of(item, "an address with its scheme, such as https://example.org/jab")
        return ""
    return written


def _report(breach: Breach, concept: Item, reporter: Reporter) -> None:
    """Report a breach at the value that breaks the condition, else at its concept."""
    value = next((found for found in _scalars(concept) if found.text and found.text.strip() == breach.value), concept)
    reporter.of(value, RULES[breach.condition], breach.message, _BREACH)


def _scalars(concept: Item) -> Iterator[Item]:
    """The values of a concept, the last written first: a link or a later label stands behind what it breaks with."""
    for _, value in reversed(concept.entries or ()):
        if value.items is None:
            yield value
        else:
            yield from reversed(value.items)
