"""A talk with the words that were meant in the place of those that a speech recogniser heard."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fightnotes.language.mishearings import Mishearing
from fightnotes.language.talk import SpokenWord


def mended(words: Sequence[SpokenWord], mishearings: Iterable[Mishearing]) -> list[SpokenWord]:
    """`words` with each sure mishearing as one word, from when its first was heard to when its last was.

    `mishearings` are in order of place, apart from each other. One that runs over two speakers is left.
    """
    found: list[SpokenWord] = []
    done = 0
    for one in mishearings:
        heard = words[one.first : one.last + 1]
        if not one.sure or len({word.speaker for word in heard}) > 1:
            continue
        found.extend(words[done : one.first])
        found.append(_meant(heard, one))
        done = one.last + 1
    found.extend(words[done:])
    return found


def _meant(heard: Sequence[SpokenWord], one: Mishearing) -> SpokenWord:
    first, last = heard[0], heard[-1]
    return SpokenWord(
        text=one.meant,
        start=first.start,
        end=last.end,
        line=first.line,
        speaker=first.speaker,
        end_guessed=last.end_guessed,
        heard=" ".join(word.text for word in heard),
        score=one.score,
    )
