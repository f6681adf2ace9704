"""The judged talks are sound: each covers every word of its captions, and names what its bout and the lists hold."""

from __future__ import annotations

import string
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from fightnotes.model import OUTCOMES, TARGETS, Bout, Fields
from fightnotes.reading.library import find_root, read_bouts, read_configuration
from tests.judged.talks import ROOT, TALKS, JudgedTalk, load_talk, words_of

DEMO = ROOT / "corpus_demo" / "transcripts"
SAMPLE = Path(__file__).parent / "talks" / "corvale-brandaal-2031-breakdown.txt"
MOMENT = "== round:8\n"
BAIT = "she opens the guard right up arms wide come on then || by:brandaal"
ALL_OF_THEM = pytest.mark.parametrize("path", TALKS, ids=lambda path: path.stem)


def bout_of(talk: JudgedTalk) -> Bout:
    file = ROOT / talk.file
    library = find_root(file.parent)
    (bout,) = (
        bout
        for bout in read_bouts(library, read_configuration(library))
        if file.relative_to(library).as_posix() in bout.files
    )
    return bout


def acts_of(talk: JudgedTalk) -> Iterator[Fields]:
    return (act for sentence in talk.sentences for act in sentence.acts)


def test_every_transcript_of_the_demo_is_judged() -> None:
    judged = {ROOT / load_talk(path).file for path in TALKS}
    assert judged.issuperset(DEMO.iterdir())


@ALL_OF_THEM
def test_all_words_stand_in_sentences_without_a_gap(path: Path) -> None:
    talk = load_talk(path)
    assert [word for sentence in talk.sentences for word in sentence.text.split()] == words_of(talk.file)
    assert talk.sentences[0].first == 0
    assert all(before.last + 1 == after.first for before, after in pairwise(talk.sentences))
    assert [moment.first for moment in talk.moments] == [moment.sentences[0].first for moment in talk.moments]


@ALL_OF_THEM
def test_what_was_misheard_stands_there_and_is_something_else(path: Path) -> None:
    talk = load_talk(path)
    words = words_of(talk.file)
    assert talk.misheard
    for span in talk.misheard:
        heard = words[span.first : span.last + 1]
        bare = [[word.strip(string.punctuation) for word in each] for each in (heard, span.heard.split())]
        assert bare[0] == bare[1]
        assert span.meant != span.heard
    assert all(before.last < after.first for before, after in pairwise(talk.misheard))


@ALL_OF_THEM
def test_fighters_and_rounds_are_those_of_the_bout(path: Path) -> None:
    talk = load_talk(path)
    bout = bout_of(talk)
    named = {fighter for act in acts_of(talk) for fighter in (*act.by, *act.on)}
    assert named
    assert named <= {fighter.id for fighter in bout.fighters}
    assert not any(set(act.by) & set(act.on) for act in acts_of(talk))
    assert bout.rounds is not None
    for moment in talk.moments:
        assert moment.round is None or 1 <= moment.round <= (bout.rounds.count or moment.round)
        assert moment.clock is None or 0 <= moment.clock <= bout.rounds.length


@ALL_OF_THEM
def test_outcomes_and_targets_are_those_of_the_lists(path: Path) -> None:
    talk = load_talk(path)
    assert {outcome for act in acts_of(talk) for outcome in act.outcome} <= set(OUTCOMES)
    assert {target for act in acts_of(talk) for target in act.target} <= set(TARGETS)


def test_a_talk_as_it_is_read() -> None:
    talk = load_talk(SAMPLE)
    assert [moment.round for moment in talk.moments] == [None, 1, 2, None, 4, None, 5, None, 6, 8, 9, None]
    fifth, ninth = talk.moments[6], talk.moments[10]
    assert [moment.clock for moment in talk.moments[4:7]] == [None, None, Fraction(30)]
    assert fifth.sentences[2].text == "it goes round the outside of brand all's lead foot"
    assert fifth.sentences[2].acts == (Fields(by=("corvale",)),)
    (name,) = (span for span in talk.misheard if fifth.sentences[2].first <= span.first <= fifth.sentences[2].last)
    assert (name.heard, name.meant, name.last - name.first) == ("brand all's", "Brandaal's", 1)
    assert ninth.sentences[4].acts == (
        Fields(by=("corvale",), on=("brandaal",), target=("head",), outcome=("knockdown",)),
    )


@pytest.mark.parametrize(
    ("whole", "damaged", "said"),
    [
        (BAIT, BAIT.replace("guard", "gourd"), "found 'gourd', the captions have 'guard'"),
        (BAIT, BAIT.replace("opens ", ""), "found 'the', the captions have 'opens'"),
        (BAIT, BAIT.replace("opens", "she opens"), "found 'she', the captions have 'opens'"),
        (BAIT, BAIT.replace("opens", "Opens"), "found 'Opens', the captions have 'opens'"),
        (BAIT, BAIT.replace("guard", "{guard"), "'{' stands outside of a mark"),
        (BAIT, BAIT.replace("guard", "{gourd|guard}"), "found 'gourd', the captions have 'guard'"),
        (BAIT, BAIT.replace("by:", "from:"), "'from:brandaal' is no mark"),
        (BAIT, BAIT.replace("by:brandaal", "by:"), "'by:' is no mark"),
        (BAIT, f"{BAIT} ; ", "an act without a field"),
        (BAIT, f"{BAIT} outcome:lands", "'outcome:lands' is none of landed"),
        (BAIT, f"{BAIT} target:chin", "'target:chin' is none of head"),
        (BAIT, "|| by:brandaal", "marks without words"),
        (MOMENT, "== clock:0:30\n", "a clock in a round alone"),
        (MOMENT, "== round:8 clock:0.30\n", "expected a time such as 4:05"),
        (MOMENT, "== round:last\n", "'round:last' is no round"),
        (MOMENT, f"{MOMENT}==\n", "a moment without a sentence"),
        ("==\n", "", "'==', which opens a moment"),
        ("file: ", "file: no/", "found 'file: no/corpus_demo"),
    ],
)
def test_damage_is_refused_with_its_line(tmp_path: Path, whole: str, damaged: str, said: str) -> None:
    text = SAMPLE.read_text(encoding="utf-8")
    line = text[: text.index(whole)].count("\n") + 1
    copy = tmp_path / "copy.txt"
    copy.write_text(text.replace(whole, damaged, 1), encoding="utf-8")
    with pytest.raises(ValueError, match=r"copy\.txt") as refused:
        load_talk(copy)
    place, _, message = str(refused.value).partition(": ")
    assert place == f"{copy}:{line}"
    assert said in message


def test_words_that_are_missing_or_too_many_at_the_end_are_refused(tmp_path: Path) -> None:
    lines = SAMPLE.read_text(encoding="utf-8").splitlines()
    copy = tmp_path / "copy.txt"
    copy.write_text("\n".join(lines[:-1]), encoding="utf-8")
    with pytest.raises(ValueError, match=rf":{len(lines) - 1}: .* go on with 'okay'"):
        load_talk(copy)
    copy.write_text("\n".join([*lines, "and more"]), encoding="utf-8")
    with pytest.raises(ValueError, match=rf":{len(lines) + 1}: found 'and', the captions end before it"):
        load_talk(copy)
