"""Text to meaning: words and stems, names, labels, negation and candidate terms."""

from fightnotes.language import english as spoken
from fightnotes.language.english import questions as asked
from fightnotes.language.english import running_speech as in_talk

__all__ = ["asked", "in_talk", "spoken"]
"""`spoken` is the language that notes, labels and queries are in: a module with the names of `english`; `in_talk` is
what more there is to it when somebody talks, a module with the names of `english.running_speech`, and `asked` when
somebody asks, with those of `english.questions`."""
