"""A vocabulary as the text of a whole file, for reading it again."""

from __future__ import annotations

from fightnotes.editing.vocabulary_text import block_entry, sections
from fightnotes.model import Vocabulary


def vocabulary_to_yaml(vocabulary: Vocabulary) -> str:
    """The whole file, in block style; read again it is the same vocabulary but for the line numbers."""
    lines: list[str] = []
    for key, entries in sections(vocabulary).items():
        if entries:
            lines.append(f"{key}:")
            for entry in entries.values():
                lines += block_entry(entry, "  ")
    return "".join(f"{line}\n" for line in lines)
