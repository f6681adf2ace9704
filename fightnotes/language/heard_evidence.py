"""What speaks for and against that heard words stand for a name or a label, beside how near they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fightnotes.language import in_notes, spoken
from fightnotes.language.heard_words import HeardRun, HeardWord
from fightnotes.language.known_words import KnownWords, letters_of, sounds_of_words
from fightnotes.language.near_forms import NearForm, compared_stems
from fightnotes.language.sounds import alike
from fightnotes.language.words import is_content, stem

_ORDINARY = frozenset(
    stem(word)
    for words in (
        in_notes.COMMON_WORDS,
        spoken.STOP_WORDS,
        spoken.EMPTY_VERBS,
        in_notes.PARTS,
        spoken.SPANS_OF_TIME,
        in_notes.WAYS,
        in_notes.SIDES,
    )
    for word in words
).union(stem(word) for words in in_notes.PARTS_HIT.values() for word in words.split())
_NEARLY_SAME = 0.915
"""How near one word has to be to a label of one word: "clench" to "clinch", and not "slap" to "slip"."""
_FEW_SOUNDS = 6
"""A name of no more is like many a word."""
_LEAST_NEAR = 0.77
"""For a name."""
_LEAST_ALIKE = 0.76
"""How alike the words of a run that are none of the label's have to be to those of the label that it lacks."""


class Evidence(NamedTuple):
    counts: float
    """What it adds to the score."""
    reason: str


def evidence_for(
    heard: Sequence[HeardWord], run: HeardRun, near: NearForm, times: int, known: KnownWords
) -> Iterator[Evidence]:
    """`times` is how often the run's words come in the talk."""
    yield Evidence(0.0, f"sounds like '{near.form.text}' ({near.near:.2f})")
    yield from _of_name(heard, run, near, known) if near.form.label is None else _of_label(heard, run, near, known)
    if times > 1:
        yield Evidence(0.05 if times > 3 else 0.03, f"heard {times} times")


def _of_name(heard: Sequence[HeardWord], run: HeardRun, near: NearForm, known: KnownWords) -> Iterator[Evidence]:
    strange = next((word for word in run.words if is_strange(word, known)), None)
    long = len(near.form.sounds) > _FEW_SOUNDS
    if len(run.words) > 1:
        if strange:
            yield Evidence(0.05, f"'{strange}' is no ordinary word")
        elif not long:
            yield Evidence(-0.1, "ordinary words")
    elif strange:
        yield Evidence(-0.04 if long else -0.08, "one word alone")
    else:
        yield Evidence(-0.15, "an ordinary word")
    if near.ending:
        yield Evidence(-0.03, f"'{near.ending}' for a possessive")
    if near.near < _LEAST_NEAR:
        yield Evidence(-0.04, "not very near")
    if not near.form.surname:
        beside = _beside_name(heard, run, near.form.fighter, known)
        alone = Evidence(-0.15 if strange and len(run.words) == 1 else -0.3, "no surname")
        yield Evidence(0.15, "beside another name of the fighter") if beside else alone
    if len(near.form.sounds) < 5:
        yield Evidence(-0.1, "a short name")
    yield from _of_place(heard, run)
    if not heard[run.begin].capital and any(word.capital for word in heard[run.begin : run.stop]):
        yield Evidence(-0.06, "holds a name of its own")


def _beside_name(heard: Sequence[HeardWord], run: HeardRun, fighter: str, known: KnownWords) -> bool:
    """Whether another name of the same fighter stands right before it or behind it."""
    beside = [*heard[max(run.begin - 1, 0) : run.begin], *heard[run.stop : run.stop + 1]]
    return any(fighter in known.names.forms.get((word.text.removesuffix("'s"),), ()) for word in beside)


def _of_place(heard: Sequence[HeardWord], run: HeardRun) -> Iterator[Evidence]:
    """Whether a name may stand there."""
    before = heard[run.begin - 1] if run.begin and heard[run.begin - 1].open else None
    behind = heard[run.stop] if run.stop < len(heard) and heard[run.stop - 1].open else None
    subject = heard[run.begin - 1].text if run.begin else ""
    if subject.partition("'")[0] in in_notes.WHO_ACTS and not subject.endswith("'s"):
        yield Evidence(-0.12, f"behind '{subject}'")
    elif before and before.text in in_notes.BEFORE_NO_NAME:
        yield Evidence(-0.12, f"behind '{before.text}'")
    elif run.ending or (behind and behind.text in in_notes.BEHIND_A_NAME):
        yield Evidence(0.03, "where a name stands")


def _of_label(heard: Sequence[HeardWord], run: HeardRun, near: NearForm, known: KnownWords) -> Iterator[Evidence]:
    form = near.form
    if letters_of(run.words).removesuffix(near.ending) == form.letters:
        if run.words[-1] in in_notes.WAYS and not (run.begin and heard[run.begin - 1].text in spoken.DETERMINERS):
            yield Evidence(-0.2, f"'{' '.join(run.words)}' may be a verb")
        return
    if any(word.capital for word in heard[run.begin + 1 : run.stop]) or _named(heard, run):
        yield Evidence(-0.12, "a capital inside a sentence")
    wanted = {stem(word) for word in form.words}
    bent = [word for word in run.words if stem(word) not in wanted]
    strange = next((word for word in bent if is_strange(word, known)), None)
    if len(run.words) == 1:
        nearly_same = near.near >= _NEARLY_SAME and len(form.sounds) > 4
        yield Evidence(-0.3 if not strange else -0.05 if nearly_same else -0.12, "one word alone")
        return
    anchors = sum(word not in spoken.STOP_WORDS and stem(word) in wanted for word in run.words)
    if strange and (anchors or len(wanted) == 1):
        yield Evidence(0.02, f"'{strange}' is no ordinary word")
    elif strange or any(is_content(word) and stem(word) not in known.labelled for word in bent):
        yield Evidence(-0.04, "ordinary words")
    else:
        yield Evidence(-0.1 if anchors > 1 else -0.15, "words of labels or of any sentence")
    if not anchors and not (strange and len(wanted) == 1):
        yield Evidence(-0.07 if len(wanted) > 1 else -0.1, f"no word of '{form.text}'")
    lacking = [word for word in form.words if stem(word) not in set(map(stem, run.words))]
    if anchors and alike(sounds_of_words(bent), sounds_of_words(lacking)) < _LEAST_ALIKE:
        yield Evidence(-0.06, f"'{' '.join(bent)}' is unlike '{' '.join(lacking)}'")
    if any(len(word) == 1 and word not in spoken.STOP_WORDS for word in bent):
        yield Evidence(-0.08, "an initial")


def _named(heard: Sequence[HeardWord], run: HeardRun) -> bool:
    """Whether it begins with a capital though no sentence begins there."""
    return heard[run.begin].capital and run.begin > 0 and heard[run.begin - 1].open


def is_strange(word: str, known: KnownWords) -> bool:
    """Neither ordinary English nor said by the vocabulary."""
    known_stem = any(each in _ORDINARY or each in known.written for each in compared_stems(word))
    return word.isalpha() and len(word) > 2 and not known_stem


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
