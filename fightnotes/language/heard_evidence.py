"""What speaks for and against that heard words stand for a name or a label, beside how near they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fightnotes.language import spoken
from fightnotes.language.heard_words import HeardRun, HeardWord
from fightnotes.language.known_words import KnownWords, letters_of
from fightnotes.language.near_forms import NearForm
from fightnotes.language.words import is_content, stem

_ORDINARY = frozenset(stem(word) for word in (*spoken.COMMON_WORDS, *spoken.STOP_WORDS, *spoken.EMPTY_VERBS))


class Evidence(NamedTuple):
    counts: float
    """What it adds to the score."""
    reason: str


def evidence_for(
    heard: Sequence[HeardWord], run: HeardRun, near: NearForm, times: int, known: KnownWords
) -> list[Evidence]:
    """`times` is how often the run's words come in the talk."""
    found = [Evidence(0.0, f"sounds like '{near.form.text}' ({near.near:.2f})")]
    found += _of_name(heard, run, near, known) if near.form.label is None else _of_label(heard, run, near, known)
    if times > 1:
        found.append(Evidence(0.04, f"heard {times} times"))
    return found


def _of_name(heard: Sequence[HeardWord], run: HeardRun, near: NearForm, known: KnownWords) -> Iterator[Evidence]:
    strange = [word for word in run.words if is_strange(word, known)]
    if strange:
        yield Evidence(0.08, f"'{strange[0]}' is no ordinary word")
    if not near.form.surname and not (strange and len(run.words) == 1):
        yield Evidence(-0.2, "no surname")
    if len(near.form.sounds) < 5:
        yield Evidence(-0.1, "a short name")
    before = heard[run.begin - 1] if run.begin else None
    behind = heard[run.stop] if run.stop < len(heard) else None
    if before and before.open and before.text in spoken.BEFORE_NO_NAME:
        yield Evidence(-0.12, f"behind '{before.text}'")
    elif run.ending or (behind and heard[run.stop - 1].open and behind.text in spoken.BEHIND_A_NAME):
        yield Evidence(0.04, "where a name stands")
    if before and before.open and heard[run.begin].capital:
        yield Evidence(0.05, "written with a capital")


def _of_label(heard: Sequence[HeardWord], run: HeardRun, near: NearForm, known: KnownWords) -> Iterator[Evidence]:
    form = near.form
    if letters_of(run.words).removesuffix(near.ending) == form.letters:
        if run.words[-1] in spoken.WAYS and not (run.begin and heard[run.begin - 1].text in spoken.DETERMINERS):
            yield Evidence(-0.2, f"'{' '.join(run.words)}' may be a verb")
        return
    wanted = {stem(word) for word in form.words}
    bent = [word for word in run.words if stem(word) not in wanted]
    strange = [word for word in bent if is_strange(word, known)]
    if strange:
        yield Evidence(0.04, f"'{strange[0]}' is no ordinary word")
    elif not any(is_content(word) and stem(word) not in known.own for word in bent):
        yield Evidence(-0.08, "all words of the trade or of any sentence")
    if len(bent) == len(run.words) and not strange:
        yield Evidence(-0.07, "no word of it")
    if len(run.words) == 1:
        yield Evidence(-0.04 if strange else -0.3, "one word alone")


def is_strange(word: str, known: KnownWords) -> bool:
    """Neither ordinary English nor said by the vocabulary."""
    return word.isalpha() and len(word) > 2 and stem(word) not in _ORDINARY and stem(word) not in known.own


def article_goes(heard: Sequence[HeardWord], run: HeardRun) -> bool:
    """Whether "the" before a misheard name was heard for nothing: "the brandle grabs hold", not "the brandle fight"."""
    if not run.begin or heard[run.begin - 1].text != "the" or not heard[run.begin - 1].open:
        return False
    if run.ending or run.stop == len(heard) or not heard[run.stop - 1].open:
        return True
    word = heard[run.stop].text
    return (
        not is_content(word)
        or word in spoken.STOP_WORDS
        or (word.endswith(spoken.INFLECTIONS) and word not in spoken.SPANS_OF_TIME)
    )
