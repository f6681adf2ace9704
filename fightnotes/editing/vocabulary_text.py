"""A vocabulary -> the YAML of `vocabulary.yaml`, and the pieces that an edit in place is made of."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.reading.vocabulary_file import CONCEPT_KEYS, TERM_KEYS

Value = str | tuple[str, ...]
Entry = Mapping[str, Value]

_PLAIN = re.compile(r"[^\W\d_](?:[\w./()+]|[ \-'](?=[\w(]))*")
_OTHER_THAN_TEXT = re.compile(r"null|true|false|yes|no|on|off|[yn]", re.IGNORECASE)
"""Words that YAML 1.1 or 1.2 reads as something other than text."""
_UNPRINTED = re.compile("[\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")


def sections(vocabulary: Vocabulary) -> dict[str, dict[str, Entry]]:
    """By key of the file, the entries by id or word, each with what it says under which key; empty values left out."""
    return {
        "concepts": {concept.id: _said(concept, CONCEPT_KEYS) for concept in vocabulary.concepts},
        "terms": {term.say: _said(term, TERM_KEYS) for term in vocabulary.terms},
    }


def _said(entry: Concept | Term, keys: tuple[str, ...]) -> Entry:
    return {key: value for key in keys if (value := getattr(entry, key))}


def block_entry(entry: Entry, indent: str) -> list[str]:
    """Lines without endings: a dash at `indent`, the keys behind and below it."""
    lines = [f"{indent}  {key}: {shown(key, value)}" for key, value in entry.items()]
    return [f"{indent}- {lines[0].lstrip()}", *lines[1:]]


def flow_entry(entry: Entry) -> str:
    return "{" + ", ".join(f"{key}: {shown(key, value)}" for key, value in entry.items()) + "}"


def shown(key: str, value: Value) -> str:
    """A value as it stands behind its key; one broader concept stands without brackets."""
    if isinstance(value, str):
        return scalar(value)
    if key == "broader" and len(value) == 1:
        return scalar(value[0])
    return "[" + ", ".join(map(scalar, value)) + "]"


def scalar(text: str) -> str:
    """One line of YAML that reads as `text`: plain where that is safe, else in double quotes."""
    if _PLAIN.fullmatch(text) and not _OTHER_THAN_TEXT.fullmatch(text):
        return text
    return _UNPRINTED.sub(lambda match: f"\\u{ord(match.group()):04x}", json.dumps(text, ensure_ascii=False))
