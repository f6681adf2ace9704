"""`fightnotes answer`: on small libraries whose figures are known, and on the demo."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fightnotes.library import open_library
from fightnotes.search.filters import Filters
from tests.briefing.samples import KINDS_OF_COST, WITHOUT_ROUNDS, library
from tests.briefing.test_question_cases import QUESTIONS
from tests.conftest import MakeLibrary, RunCommand

HOSTILE = "\x1b[2J <script>alert(1)</script> [a](javascript:b) `x` \u202e # *does the jab work?*"


@pytest.fixture
def ask(fightnotes: RunCommand, costly: Path) -> Any:
    def asked(*words: str, root: Path = costly) -> dict[str, Any]:
        ran = fightnotes("answer", *words, "--library", root, "--format", "json")
        assert ran.exit_code == 0, ran.stderr
        found: dict[str, Any] = json.loads(ran.stdout)
        return found

    return asked


def tallied(fightnotes: RunCommand, root: Path, *words: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(fightnotes("tally", *words, "--library", root, "--format", "json").stdout)
    return found


def test_what_costs_more_and_more(ask: Any) -> None:
    answer = ask("did the inside step cost him more and more?")
    assert answer["answer"] == "yes"
    first, by_round, *quoted = answer["sentences"]
    assert (first["figures"]["count"], first["figures"]["of"]) == (15, 32)
    assert "cost: the other succeeds in the same note or begins to within 5 s" in first["text"]
    assert [(row["count"], row["of"]) for row in by_round["figures"]["rows"]] == [
        (count, 4) for count in (0, 0, 1, 1, 2, 3, 4, 4)
    ]
    assert by_round["text"].startswith("By round: R1 0 of 4, R2 0 of 4, R3 1 of 4")
    assert [one["origin"] for one in quoted] == ["quoted", "quoted"]
    assert "“him” is read as Ada Quell: nobody else is noted with it there" in answer["notices"]


def test_the_other_way_is_a_no(ask: Any) -> None:
    answer = ask("does the inside step cost Quell less and less?")
    assert (answer["answer"], answer["says"].split(":")[0]) == ("no", "No")


def test_what_stays_as_it_is_shows_no_trend(ask: Any, fightnotes: RunCommand, costly: Path) -> None:
    answer = ask("does Quell use the inside step more and more?")
    assert answer["answer"] == "open"
    trend = tallied(fightnotes, costly, "round", "--tag", "inside-step", "--by", "quell", "--trend")["trends"][0]
    assert answer["sentences"][0]["figures"] == trend


def test_how_often_and_whether_it_works_are_what_tally_says(ask: Any, fightnotes: RunCommand, costly: Path) -> None:
    whole = tallied(fightnotes, costly, "outcome", "--tag", "inside-step", "--by", "quell")["all"]
    assert whole["count"] == 32
    assert ask("how often does Quell step inside step?")["sentences"][0]["figures"] == whole
    works = ask("does the inside step work for Quell?")
    assert works["answer"] == "yes"
    assert works["sentences"][0]["figures"] == whole


def test_a_round_alone(ask: Any, fightnotes: RunCommand, costly: Path) -> None:
    whole = tallied(fightnotes, costly, "outcome", "--tag", "counter", "--round", "7-8")["all"]
    answer = ask("how often is there a counter in rounds 7 to 8?")
    assert whole["count"] == 8
    assert answer["sentences"][0]["figures"] == whole
    assert "of rounds 7 to 8 alone" in answer["notices"]


def test_who_does_it_more_is_what_compare_says(ask: Any, fightnotes: RunCommand, costly: Path) -> None:
    answer = ask("who does the counter more, Quell or Marvane?")
    assert answer["says"].startswith("Bo Marvane has more counter")
    shown = fightnotes("compare", "quell", "marvane", "--tag", "counter", "--library", costly, "--format", "json")
    whole = json.loads(shown.stdout)["concepts"][-1]
    assert [one["figures"] for one in answer["sentences"]] == [whole["second"]]


def test_who_of_nobody_named_is_open(ask: Any) -> None:
    answer = ask("who jabs most?")
    assert (answer["answer"], answer["says"].split(";")[0]) == ("open", "Open: name two fighters, or a bout")


def test_of_a_bout_both_are_compared(ask: Any) -> None:
    assert ask("who does the counter more?", "--bout", "costly")["says"].startswith("Bo Marvane has more")


def test_what_follows_is_what_follow_says(ask: Any, fightnotes: RunCommand, costly: Path) -> None:
    answer = ask("what follows the inside step?")
    shown = fightnotes("follow", "inside-step", "--library", costly, "--format", "json")
    found = json.loads(shown.stdout)["sequences"]
    assert [one["figures"] for one in answer["sentences"]] == found[:4]
    counter = next(one for one in found if one["concepts"] == ["inside-step", "counter"])
    assert (counter["count"], counter["of"], counter["other_fighter"]) == (15, 32, 15)
    before = ask("what comes before the counter?")
    told = next(one for one in before["sentences"] if one["text"].startswith("Inside step, then counter"))
    assert (told["figures"]["count"], told["figures"]["of"]) == (15, 32)


def test_when(ask: Any) -> None:
    answer = ask("when does Marvane counter?")
    assert answer["answer"] == "told"
    rows = answer["sentences"][0]["figures"]["rows"]
    assert [row["count"] for row in rows] == [0, 0, 1, 1, 2, 3, 4, 4]
    assert "goes from about" in answer["says"]


def test_what_cost_is(make_library: MakeLibrary, fightnotes: RunCommand, ask: Any) -> None:
    root = make_library(library(kinds=KINDS_OF_COST))
    fightnotes("build", "--library", root)
    answer = ask("does Quell pay for the inside step?", root=root)
    assert (answer["sentences"][0]["figures"]["count"], answer["sentences"][0]["figures"]["of"]) == (3, 5)
    told = [moment["text"] for moment in answer["sentences"][0]["moments"]]
    assert "Late." not in told
    assert "Down goes Quell." in told


def test_too_few_is_open_and_says_why(make_library: MakeLibrary, fightnotes: RunCommand, ask: Any) -> None:
    root = make_library(library(kinds=KINDS_OF_COST, loose=WITHOUT_ROUNDS))
    fightnotes("build", "--library", root)
    few = ask("does the jab work for Quell?", root=root)
    assert (few["answer"], few["says"]) == (
        "open", "Open: too few notes of jab by Ada Quell (only 1 with an outcome, and 5 are needed)."
    )  # fmt: skip
    none = ask("does the inside step work?", "--bout", "loose", root=root)
    assert none["says"] == "Open: no outcome is noted of inside step (10 acts)."
    loose = ask("does Quell step inside step more and more?", "--bout", "loose", root=root)
    assert (loose["answer"], "its rounds are not noted" in loose["says"]) == ("open", True)
    assert ask("when does the inside step come?", "--bout", "loose", root=root)["answer"] == "open"
    absent = ask("how often does Tamber jab?", root=root)
    assert (absent["answer"], absent["sentences"]) == ("open", [])
    assert absent["says"].startswith("No jab by Ilo Tamber is noted there")


def test_an_option_says_who_a_pronoun_is(ask: Any) -> None:
    answer = ask("does his footwork work?", "--by", "quell")
    assert (answer["answer"], answer["read"]["pronoun"]) == ("yes", "his")


def test_pronouns_of_two(make_library: MakeLibrary, fightnotes: RunCommand, ask: Any) -> None:
    root = make_library(library(kinds=KINDS_OF_COST))
    fightnotes("build", "--library", root)
    answer = ask("does his jab work?", root=root)
    assert answer["answer"] == "missing"
    assert answer["says"].startswith("Who is “his”? jab is noted of Bo Marvane (1), Ada Quell (1)")
    assert answer["hits"]


def test_a_question_that_is_none_of_these_shows_what_find_gives(ask: Any, costly: Path) -> None:
    answer = ask("why did Quell lose?")
    assert answer["answer"] == "unread"
    found = open_library(costly).find("why did Quell lose?", limit=5)
    assert [f"{one['file']}:{one['line']}" for one in answer["hits"]] == [hit.place for hit in found.hits]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("   ",), "ask something"),
        (("does the jab of Quell work?", "--by", "marvane"), "the question says quell, the filter says marvane"),
        (("does the jab work?", "--outcome", "landed"), "leave the outcome out"),
        (("does the jab work?", "--by", "nobody"), "nobody"),
    ],
)
def test_wrong_usage(words: tuple[str, ...], told: str, fightnotes: RunCommand, costly: Path) -> None:
    ran = fightnotes("answer", *words, "--library", costly)
    assert (ran.exit_code, told in ran.stderr) == (2, True)


def test_hostile_questions(fightnotes: RunCommand, costly: Path) -> None:
    for format in ("table", "markdown", "json"):
        ran = fightnotes("answer", HOSTILE, "--library", costly, "--format", format)
        assert ran.exit_code == 0, ran.stderr
        assert "\x1b" not in ran.stdout
        assert "\u202e" not in ran.stdout
    shown = fightnotes("answer", HOSTILE, "--library", costly, "--format", "markdown").stdout
    assert "<script" not in shown.replace("\\<", "")
    assert "\\[a\\]" in shown


def test_the_table_numbers_its_moments(fightnotes: RunCommand, costly: Path) -> None:
    shown = fightnotes("answer", "does the inside step work for Quell?", "--library", costly).stdout
    assert shown.startswith("Yes: inside step by Ada Quell comes off more often than not")
    assert "[1-6; 6 of 32 moments]" in shown
    assert "bouts/costly.md:" in shown


QUESTIONS_OF_ALL_KINDS = (
    *QUESTIONS, "does the open guard bait cost Brandaal?", "did the inside step cost Orzhelian more and more?",
    "what follows the outside step?", "when did Orzhelian step inside step?", "who does the jab more?",
)  # fmt: skip


def test_every_sentence_has_moments_and_quotes_are_the_notes(demo: Path) -> None:
    opened = open_library(demo)
    kinds = set()
    for text in QUESTIONS_OF_ALL_KINDS:
        answer = opened.answer(text)
        kinds.add(answer.kind)
        for sentence in answer.sentences:
            assert sentence.moments, (text, sentence.text)
            if sentence.origin == "quoted":
                (hit,) = sentence.moments
                assert f"“{hit.quoted}”" in sentence.text
    assert kinds >= {"yes", "open", "told", "missing", "unread"}


def test_every_number_of_the_demo_is_what_tally_says(demo: Path) -> None:
    opened = open_library(demo)
    filters = Filters(by=("corvale",), tags=("outside-step",))
    counted = opened.tally("round", filters=filters, trend="per-round")
    assert opened.answer("how often does Corvale outside step?").sentences[0].figures == counted.figures().as_json()
    trend = opened.answer("does Corvale use the outside step more and more?")
    assert trend.kind == "yes"
    assert trend.sentences[0].figures == counted.trends[0].as_json()
    assert [row["count"] for row in trend.sentences[1].figures["rows"]] == [
        counted.figures(one).count for one in counted.row_values
    ]


def test_words_that_say_no_label_are_read_by_meaning(demo: Path) -> None:
    answer = open_library(demo).answer("Was Orzhelian going to the body increasingly?")
    assert answer.notices[0] == "read as: more and more; body work by Davit Orzhelian"
    assert answer.notices[1].startswith("“body” says no label: read as body work")
    unsure = open_library(demo).answer("How often does Kazehori stand on the shin?")
    assert (unsure.kind, "too far in meaning" in unsure.says) == ("missing", True)
