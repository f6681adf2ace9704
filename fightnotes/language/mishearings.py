"""What a speech recogniser made of names and trade words, found in the words of a whole talk.

A form that the front matter or the vocabulary lists as misheard stands for what it is listed for. Else a run of words
is held against every name and label, by sound (`sounds`) and by letters (rapidfuzz's normalised indel similarity), and
what speaks for or against it is added: words that are not ordinary English, a place in the sentence where a name
stands, a form that comes again. From `SURE` on it is to be applied, from `DOUBTFUL` on a person is to be asked. All
weights are set by hand, on the judged talks of the demo (`python -m tests.bench.name_repair`).
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass

from fightnotes.language import in_notes
from fightnotes.language.heard_evidence import Evidence, article_goes, evidence_for
from fightnotes.language.heard_words import HeardRun, HeardWord, heard_words, run_of, runs_of
from fightnotes.language.known_words import Form, KnownWords, Words
from fightnotes.language.labels import Label
from fightnotes.language.near_forms import NearForm, near_forms
from fightnotes.language.words import is_content

SURE = 0.83
DOUBTFUL = 0.7
_BEFORE, _BEHIND = re.compile(r"\W*"), re.compile(r"\W*$")


@dataclass(frozen=True)
class Mishearing:
    """Words of a talk that stand for others."""

    first: int
    last: int
    """Indexes of its first and its last word in the talk."""
    heard: str
    """Its words, folded, in one line: by them it is refused."""
    meant: str
    """What is to stand in their place: a name as the front matter writes it, the words of a label; with the possessive
    or the plural that was heard, and with the punctuation around the words."""
    score: float
    """How surely it is meant, 0 to 1; 1 where the form is listed."""
    sure: bool
    """Whether it is to be applied; else a person is to be asked."""
    listed: bool
    fighter: str | None
    """Whose name it is; None for a label."""
    label: Label | None
    """Of a concept, or a trade word, which has no concept's id."""
    reasons: tuple[str, ...]
    """In words: what it is near to, and what else speaks for it."""


@dataclass(frozen=True)
class _Candidate:
    run: HeardRun
    near: NearForm
    score: float
    reasons: tuple[str, ...]


def find_mishearings(
    words: Sequence[str], known: KnownWords, refused: Set[str] = frozenset()
) -> tuple[Mishearing, ...]:
    """In order of place, apart from each other.

    `words` are those of a whole talk in order, with their punctuation or without; the more of the talk there is, the
    more it tells of the forms that come again. `known` is made by `known_words`. `refused` are forms that a person said
    mean nothing else (`Mishearing.heard`, folded): they are found only where they are listed. Time goes with the words
    of the talk, and with the names and labels.

        for found in find_mishearings(words, known_words(bout.fighters, vocabulary), refused):
            if found.sure:
                words[found.first : found.last + 1]  # were heard for `found.meant`
    """
    heard = heard_words(words)
    listed = list(_listed(heard, known))
    taken = bytearray(len(heard))
    for run, _ in listed:
        taken[run.begin : run.stop] = b"\1" * (run.stop - run.begin)
    runs = [run for run in runs_of(heard, known) if not any(taken[run.begin : run.stop])]
    runs = [run for run in runs if any(map(is_content, run.words))]
    chosen = _apart(_judged(heard, runs, known, refused), taken)
    found = [_mishearing(words, heard, run, form, "", 1.0, ("listed",)) for run, form in listed]
    found += [
        _mishearing(words, heard, one.run, one.near.form, one.near.ending, one.score, one.reasons) for one in chosen
    ]
    return tuple(sorted(found, key=lambda each: each.first))


def _listed(heard: Sequence[HeardWord], known: KnownWords) -> Iterator[tuple[HeardRun, Form]]:
    """From left to right, the longest first."""
    longest = max(map(len, known.listed), default=0)
    begin = 0
    while begin < len(heard):
        found = None
        for stop in range(begin + 1, min(begin + longest, len(heard)) + 1) if heard[begin].first else ():
            if heard[stop - 1].last and (form := known.listed.get(run_of(heard, begin, stop).words)):
                found = run_of(heard, begin, stop), form
            if not heard[stop - 1].open:
                break
        if found:
            yield found
        begin = found[0].stop if found else begin + 1


def _judged(
    heard: Sequence[HeardWord], runs: Sequence[HeardRun], known: KnownWords, refused: Set[str]
) -> Iterator[_Candidate]:
    times = Counter(run.words for run in runs)
    near: dict[Words, list[NearForm]] = defaultdict(list)
    for one in near_forms(times, known):  # the refused ones too, so that none comes back with a word more
        if " ".join(one.words) not in refused:
            near[one.words].append(one)
    judged = [
        (run, one, list(evidence_for(heard, run, one, times[run.words], known)))
        for run in runs
        for one in near.get(run.words, ())
    ]
    forms: dict[str, set[Words]] = defaultdict(set)
    """The sure ones of each fighter."""
    for run, one, evidence in judged:
        if one.form.fighter and _score(one, evidence) >= SURE:
            forms[one.form.fighter].add(run.words)
    for run, one, evidence in judged:
        if one.form.surname and forms[one.form.fighter] - {run.words}:
            evidence.append(Evidence(0.03, "heard in other ways, too"))
        if (score := _score(one, evidence)) >= DOUBTFUL:
            yield _Candidate(run, one, score, tuple(each.reason for each in evidence))


def _score(near: NearForm, evidence: Sequence[Evidence]) -> float:
    return round(min(near.near + sum(each.counts for each in evidence), 0.99), 3)


def _apart(candidates: Iterable[_Candidate], taken: bytearray) -> Iterator[_Candidate]:
    """The likeliest first, as long as their words are free."""
    for one in sorted(candidates, key=lambda each: (-each.score, -each.near.near, each.run.begin, each.run.stop)):
        run = one.run
        if not any(taken[run.begin : run.stop]):
            taken[run.begin : run.stop] = b"\1" * (run.stop - run.begin)
            yield one


def _mishearing(
    tokens: Sequence[str],
    heard: Sequence[HeardWord],
    run: HeardRun,
    form: Form,
    ending: str,
    score: float,
    reasons: tuple[str, ...],
) -> Mishearing:
    begin = run.begin - (form.label is None and article_goes(heard, run))
    first, last = heard[begin].token, heard[run.stop - 1].token
    text = form.text
    if ending:
        text = in_notes.plural(text) if form.label else f"{text}'s"
    if form.label and heard[begin].capital:
        text = text[:1].upper() + text[1:]
    before, behind = _BEFORE.match(tokens[first]), _BEHIND.search(tokens[last])
    return Mishearing(
        first=first,
        last=last,
        heard=" ".join(run.words),
        meant=f"{before[0] if before else ''}{text}{run.ending}{behind[0] if behind else ''}",
        score=score,
        sure=score >= SURE,
        listed=reasons == ("listed",),
        fighter=form.fighter or None,
        label=form.label,
        reasons=reasons,
    )
