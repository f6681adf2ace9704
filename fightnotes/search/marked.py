"""A text in pieces: what of it a query's words met, and what stands between."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from fightnotes.language.labels import Label, find_labels, label_finder
from fightnotes.language.words import Word, stems_of, words_of


def in_pieces(text: str, met: Iterable[str]) -> tuple[tuple[str, bool], ...]:
    """The whole text, piece by piece, each with whether it was met.

    `met` are words, phrases and labels as `Why.words` has them. They are compared by stem, as the search does; a label
    may have articles and possessives between its words.
    """
    pieces: list[tuple[str, bool]] = []
    here = 0
    for begin, stop in _joined(sorted(_spans(text, tuple(met)))):
        pieces += [(text[here:begin], False), (text[begin:stop], True)]
        here = stop
    return tuple(piece for piece in (*pieces, (text[here:], False)) if piece[0])


def _spans(text: str, met: Sequence[str]) -> Iterator[tuple[int, int]]:
    words = words_of(text)
    for stems in dict.fromkeys(map(stems_of, met)):
        yield from _runs(words, stems)
    labels = label_finder(Label("", one, "preferred") for one in met)
    for mention in find_labels(text, labels, words):
        yield mention.begin, mention.stop


def _runs(words: Sequence[Word], stems: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Where these stems stand one behind the other, whatever is between the words."""
    said = [word.stem for word in words]
    for first in range(len(said) - len(stems) + 1) if stems else ():
        if said[first : first + len(stems)] == list(stems):
            yield words[first].begin, words[first + len(stems) - 1].stop


def _joined(spans: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Without overlaps; `spans` are in order."""
    here: tuple[int, int] | None = None
    for begin, stop in spans:
        if here is None or begin > here[1]:
            if here:
                yield here
            here = begin, stop
        else:
            here = here[0], max(here[1], stop)
    if here:
        yield here
