"""A saved list arranged, and its file brought to say so."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.cutting import (
    SavedList,
    SavedMoment,
    in_order,
    moved,
    with_card,
    with_moments,
    with_other,
    with_settings,
    without,
    write_saved,
)
from fightnotes.cutting.list_files import change_list, create_list, list_file, list_names, read_list, take_back_change
from fightnotes.cutting.rewriting import rewrite_saved
from fightnotes.cutting.saved import saved_of_text, text_of_saved
from fightnotes.errors import FightnotesError, UnknownName, UnreadableFile, UsageError
from fightnotes.model import Handles

BY_HAND = """\
# My baits.
title: Baits            # for the Friday talk
handles: {before: 2, after: 3}

cuts:
  # the best one
  - at: bouts/a.md:57
    time: R3 1:20
    words: Hands drop, she half-goes.
    title: She half-goes   # mine

  # from the third
  - {at: bouts/a.md:73, handles: {before: 0}}
  - at: bouts/b.md:9
    # a doubt: too long?
    words: Both gloves at the belt
# the end
"""


def moment(number: int, **more: object) -> SavedMoment:
    return SavedMoment(file="bouts/a.md", line=number, time=f"0:{number:02}", words=f"jab {number}", **more)


def a_list(*numbers: int) -> SavedList:
    return SavedList(title="Baits", handles=Handles(), moments=tuple(map(moment, numbers)))


def lines(saved: SavedList) -> list[int]:
    return [one.line for one in saved.moments]


def by_hand() -> SavedList:
    saved, problems = saved_of_text(BY_HAND, "cuts/baits.yaml", Handles())
    assert problems == ()
    return saved


def brought(wanted: SavedList) -> str:
    return rewrite_saved(BY_HAND, "cuts/baits.yaml", wanted, Handles())


def test_a_moment_moves_and_the_others_keep_their_order() -> None:
    assert lines(moved(a_list(1, 2, 3, 4), 1, 3)) == [2, 3, 1, 4]
    assert lines(moved(a_list(1, 2, 3, 4), 4, 1)) == [4, 1, 2, 3]


def test_moments_come_and_go() -> None:
    assert lines(with_moments(a_list(1, 2), [moment(2), moment(5), moment(5)])) == [1, 2, 5]
    assert lines(without(a_list(1, 2, 3), 2)) == [1, 3]
    assert lines(with_other(a_list(1, 2), 2, moment(9))) == [1, 9]


def test_an_order_names_each_moment_once() -> None:
    assert lines(in_order(a_list(7, 8, 9), (3, 1, 2))) == [9, 7, 8]
    with pytest.raises(UsageError, match="once"):
        in_order(a_list(7, 8, 9), (3, 1, 1))


@pytest.mark.parametrize("place", [0, 3, -1])
def test_a_place_that_is_not_there(place: int) -> None:
    for edit in (lambda: without(a_list(1, 2), place), lambda: moved(a_list(1, 2), 1, place)):
        with pytest.raises(UsageError, match="the list has 2"):
            edit()


def test_what_stands_in_place_of_a_lost_moment_has_its_card() -> None:
    titled = with_card(a_list(1), 1, " Her\nbait ", Handles(before=Fraction(0), after=Fraction(1)))
    assert with_other(titled, 1, moment(4)).moments[0] == titled.moments[0].model_copy(
        update={"line": 4, "time": "0:04", "words": "jab 4"}
    )
    assert titled.moments[0].title == "Her bait"
    assert with_card(titled, 1, "", None) == a_list(1)


def test_the_head_changes_and_the_comments_stay() -> None:
    wanted = with_settings(by_hand(), "Open baits", Handles(before=Fraction(1), after=Fraction(5, 3)), True)
    changed = brought(wanted)
    assert changed.partition("cuts:")[0] == (
        "# My baits.\n"
        "title: Open baits            # for the Friday talk\n"
        "handles: {before: 1, after: 5/3}\n"
        "\n"
        "inside_round: true\n"
        "\n"
    )
    assert changed.partition("cuts:")[2] == BY_HAND.partition("cuts:")[2]
    assert saved_of_text(changed, "", Handles())[0].moments[1].handles == Handles(before=0, after=Fraction(5, 3))


def test_an_entry_moves_with_its_comments() -> None:
    assert brought(moved(by_hand(), 1, 3)).partition("cuts:\n")[2] == (
        "  # the best one\n"
        "  # from the third\n"
        "  - {at: bouts/a.md:73, handles: {before: 0}}\n"
        "  - at: bouts/b.md:9\n"
        "    # a doubt: too long?\n"
        "    words: Both gloves at the belt\n"
        "  - at: bouts/a.md:57\n"
        "    time: R3 1:20\n"
        "    words: Hands drop, she half-goes.\n"
        "    title: She half-goes   # mine\n"
        "# the end\n"
    )


def test_what_is_taken_out_and_what_is_new() -> None:
    shorter = with_moments(without(by_hand(), 2), [moment(12, title="Last: a, b")])
    assert brought(shorter).partition("cuts:\n")[2] == BY_HAND.partition("cuts:\n")[2].replace(
        "\n  # from the third\n  - {at: bouts/a.md:73, handles: {before: 0}}\n", ""
    ).replace(
        "# the end\n",
        "  - at: bouts/a.md:12\n    time: 0:12\n    words: jab 12\n    title: 'Last: a, b'\n# the end\n",
    )


def test_a_card_changes_in_its_entry_alone() -> None:
    longer = with_card(with_card(by_hand(), 2, "Gloves, down", None), 3, "", Handles(before=0, after="1.5"))
    changed = brought(longer)
    assert '  - {at: bouts/a.md:73, title: "Gloves, down"}\n' in changed
    assert "    words: Both gloves at the belt\n    handles: {before: 0, after: 1.5}\n# the end\n" in changed
    assert changed.splitlines()[:11] == BY_HAND.splitlines()[:11]


def test_a_title_comes_while_handles_go() -> None:
    both = with_card(by_hand(), 3, "", Handles(before=0, after=1))
    text = rewrite_saved(BY_HAND, "", both, Handles())
    changed = rewrite_saved(text, "", with_card(both, 3, "Belt", None), Handles())
    assert changed == BY_HAND.replace("at the belt\n", "at the belt\n    title: Belt\n")


def test_all_taken_out_and_one_put_in_again() -> None:
    none = brought(without(without(without(by_hand(), 1), 1), 1))
    assert saved_of_text(none, "", Handles()) == (by_hand().model_copy(update={"moments": ()}), ())
    again = rewrite_saved(none, "", by_hand().model_copy(update={"moments": (moment(3),)}), Handles())
    assert saved_of_text(again, "", Handles())[0].moments == (moment(3),)


def test_line_ends_stay() -> None:
    text = BY_HAND.replace("\n", "\r\n")
    changed = rewrite_saved(text, "", with_moments(moved(by_hand(), 1, 2), [moment(4)]), Handles())
    assert changed.count("\n") == changed.count("\r\n") > 15


@pytest.mark.parametrize(
    "text",
    [
        "cuts:\n  - &x {at: bouts/a.md:1}\n  - *x\n",
        "cuts: [{at: bouts/a.md:1}, {at: bouts/a.md:2}]\n",
        "title: one\ntitle: two\ncuts: []\n",
        "cuts:\n  - {at: bouts/a.md}\n  - {at: bouts/a.md:2}\n",
    ],
)
def test_a_file_is_changed_rightly_or_refused(text: str) -> None:
    saved, problems = saved_of_text(text, "cuts/x.yaml", Handles())
    wanted = with_moments(saved.model_copy(update={"moments": saved.moments[::-1]}), [moment(8)])
    try:
        changed = rewrite_saved(text, "cuts/x.yaml", wanted, Handles())
    except UnreadableFile:
        return
    assert problems == ()
    assert saved_of_text(changed, "", Handles()) == (wanted, ())


words = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")) | st.just(" "), min_size=1, max_size=30)
plain = words.map(lambda text: " ".join(text.split())).filter(bool)
seconds = st.builds(Handles, before=st.fractions(0, 9, max_denominator=9), after=st.fractions(0, 9, max_denominator=9))
moments = st.builds(
    SavedMoment,
    file=plain,
    line=st.integers(1, 9999),
    time=st.none() | plain,
    words=plain,
    title=st.none() | plain,
    handles=st.none() | seconds,
)
lists = st.builds(
    SavedList,
    title=plain,
    handles=seconds,
    inside_round=st.booleans(),
    moments=st.lists(moments, max_size=4).map(tuple),
)


@settings(max_examples=30)
@given(lists, lists, st.randoms(use_true_random=False))
def test_any_list_can_be_brought_to_say_any_other(one: SavedList, other: SavedList, chance: object) -> None:
    mixed = [*one.moments, *other.moments]
    chance.shuffle(mixed)
    wanted = other.model_copy(update={"moments": tuple(mixed[:6])})
    changed = rewrite_saved(text_of_saved(one), "cuts/x.yaml", wanted, Handles())
    assert saved_of_text(changed, "", Handles()) == (wanted, ())


@pytest.mark.parametrize(
    "name",
    ["", "../x", "..", "/etc/x", "a/b", "a\\b", "a\0b", "a b", ".hidden", "-x", "x" * 300, "x.yaml", "é", "x\n", "C:"],
)
def test_what_is_no_name_is_no_path(tmp_path: Path, name: str) -> None:
    with pytest.raises(UsageError, match="letters from a to z"):
        list_file(name)
    with pytest.raises(UsageError):
        create_list(tmp_path, name, a_list(1))
    assert list(tmp_path.rglob("*")) == []


def test_lists_of_a_folder(tmp_path: Path) -> None:
    assert list_names(tmp_path) == ()
    create_list(tmp_path, "left-hooks", a_list(1))
    write_saved(a_list(2), tmp_path / "cuts" / "2031.yaml")
    write_saved(a_list(2), tmp_path / "cuts" / "no name of ours.yaml")
    (tmp_path / "cuts" / "notes.txt").write_text("0:10 jab")
    assert list_names(tmp_path) == ("2031", "left-hooks")
    with pytest.raises(UsageError, match="already"):
        create_list(tmp_path, "left-hooks", a_list(1))
    with pytest.raises(UnknownName, match="no cut list other"):
        read_list(tmp_path, "other", Handles())


def test_a_change_is_made_of_the_file_that_was_shown_alone(tmp_path: Path) -> None:
    create_list(tmp_path, "baits", a_list(1, 2))
    path = tmp_path / "cuts" / "baits.yaml"
    shown = read_list(tmp_path, "baits", Handles()).digest
    path.write_bytes(path.read_bytes() + b"# seen\n")
    edited = path.read_bytes()
    with pytest.raises(UnreadableFile, match="a change made meanwhile"):
        change_list(tmp_path, "baits", lambda saved: without(saved, 1), Handles(), shown)
    assert path.read_bytes() == edited
    change_list(tmp_path, "baits", lambda saved: without(saved, 1), Handles(), None)
    assert path.read_bytes().endswith(b"# seen\n")
    assert lines(read_list(tmp_path, "baits", Handles()).saved) == [2]


def test_a_change_is_taken_back_to_the_byte_and_made_again(tmp_path: Path) -> None:
    made = create_list(tmp_path, "baits", a_list(1, 2))
    path = tmp_path / "cuts" / "baits.yaml"
    path.write_text(BY_HAND, encoding="utf-8-sig")
    change = change_list(tmp_path, "baits", lambda saved: moved(saved, 1, 2), Handles(), None)
    assert path.read_bytes().startswith(b"\xef\xbb\xbf# My baits.")
    with pytest.raises(UnreadableFile, match="meanwhile"):
        take_back_change(tmp_path, change, made.digest)
    again = take_back_change(tmp_path, change, change.digest)
    assert path.read_text(encoding="utf-8-sig") == BY_HAND
    with pytest.raises(UnreadableFile, match="meanwhile"):
        take_back_change(tmp_path, change, change.digest)
    with pytest.raises(UnreadableFile, match="meanwhile"):
        take_back_change(tmp_path, made, None)
    take_back_change(tmp_path, again, None)
    assert path.read_bytes() == change.after


def test_a_list_that_cannot_be_read_whole_is_not_changed(tmp_path: Path) -> None:
    create_list(tmp_path, "baits", a_list(1, 2))
    path = tmp_path / "cuts" / "baits.yaml"
    path.write_text(BY_HAND + "  - {at: nowhere}\n", encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(UnreadableFile, match="nowhere"):
        change_list(tmp_path, "baits", lambda saved: without(saved, 1), Handles(), None)
    assert path.read_bytes() == before
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(UnreadableFile, match="UTF-8"):
        read_list(tmp_path, "baits", Handles())


def test_a_link_that_leads_outside_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "library" / "cuts").mkdir(parents=True)
    write_saved(a_list(1), tmp_path / "secret.yaml")
    before = (tmp_path / "secret.yaml").read_bytes()
    (tmp_path / "library" / "cuts" / "x.yaml").symlink_to(tmp_path / "secret.yaml")
    with pytest.raises(FightnotesError, match="inside the library"):
        read_list(tmp_path / "library", "x", Handles())
    with pytest.raises(FightnotesError, match="inside the library"):
        change_list(tmp_path / "library", "x", lambda saved: without(saved, 1), Handles(), None)
    assert (tmp_path / "secret.yaml").read_bytes() == before
