"""Text to meaning: words and stems, names, labels, negation and candidate terms."""

from fightnotes.language import english as spoken

__all__ = ["spoken"]
"""`spoken` is the language that notes, labels and queries are in: a module with the names of `english`. What more
there is to it stands beside this: `in_notes`, `in_talk`, `asked`."""
