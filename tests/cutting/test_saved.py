from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.cutting import SavedList, SavedMoment, assemble, read_saved, refind, to_save, write_saved
from fightnotes.errors import FightnotesError, UnreadableFile
from fightnotes.model import Bout, Handles, Segment
from tests.cut_samples import a_bout, a_candidate, a_segment

BOUT = a_bout()
OTHER = a_bout("other-2030")
BOUTS = {bout.id: bout for bout in (BOUT, OTHER)}
NOTES = (
    (5, "R1 2:10", "Corvale steps outside and throws the left straight down the middle."),
    (6, "R1 1:58", "jab again"),
    (7, "R1 1:40", "jab again"),
    (9, "R2 0:41", "Brandaal lifts both gloves to draw the counter; no reply."),
)


def notes(bout: Bout = BOUT, rows: tuple[tuple[int, str, str], ...] = NOTES) -> list[Segment]:
    return [a_segment(bout, 10 * line, line=line, written_time=time, text=words, tags=()) for line, time, words in rows]


def saved_of(segments: list[Segment]) -> SavedList:
    moments = tuple(
        SavedMoment(file=s.file, line=s.line, time=s.written_time, words=" ".join(s.text.split())) for s in segments
    )
    return SavedList(title="Baits", handles=Handles(), moments=moments)


def found_lines(
    saved: SavedList, segments: list[Segment], accept: bool = False
) -> tuple[list[int], list[str], list[str]]:
    """Lines that were found, what is said of the lost moments, and of those that read otherwise."""
    refound = refind(saved, segments, BOUTS, accept)
    lines = [candidate.segment.line for candidate in refound.candidates]
    return lines, [str(moment) for moment in refound.lost], list(refound.remarks)


def place_alone(line: int, **more: str) -> SavedList:
    given = {"file": BOUT.file, "line": line, "time": None, "words": "", **more}
    return SavedList(title="Baits", handles=Handles(), moments=(SavedMoment(**given),))


def test_the_file_is_small_readable_and_in_the_order_of_the_cuts(tmp_path: Path) -> None:
    first, _, _, last = notes()
    picked = [
        a_candidate(BOUT, 90, line=9, text=last.text, written_time="R2 0:41", title="The bait"),
        a_candidate(BOUT, 50, line=5, text=first.text, written_time="R1 2:10", handles=Handles(before=1, after="1.5")),
    ]
    made = assemble(picked, {}, Handles(before=2, after=3), "hand", title="Baits", inside_round=True)
    write_saved(to_save(made), tmp_path / "baits.yaml")
    lines = (tmp_path / "baits.yaml").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if not line.startswith("#")] == [
        "title: Baits",
        "handles: {before: 2, after: 3}",
        "inside_round: true",
        "cuts:",
        "  - at: bouts/corvale-brandaal-2031.md:9",
        "    time: R2 0:41",
        "    words: Brandaal lifts both gloves to draw the counter; no reply.",
        "    title: The bait",
        "  - at: bouts/corvale-brandaal-2031.md:5",
        "    time: R1 2:10",
        "    words: Corvale steps outside and throws the left straight down the middle.",
        "    handles: {before: 1, after: 1.5}",
    ]
    assert all(line for line in lines if line.startswith("#"))


def test_unchanged_notes_are_found_at_their_place() -> None:
    assert found_lines(saved_of(notes()[::-1]), notes()) == ([9, 7, 6, 5], [], [])


def test_moved_lines_are_found_by_their_words_and_times() -> None:
    moved = tuple((line + 30, time, words) for line, time, words in NOTES)
    assert found_lines(saved_of(notes()), notes(rows=moved)) == ([35, 36, 37, 39], [], [])


def test_a_swapped_pair_of_alike_notes_is_told_apart_by_time() -> None:
    swapped = ((6, "R1 1:40", "jab again"), (7, "R1 1:58", "jab again"))
    assert found_lines(saved_of(notes()[1:3]), notes(rows=swapped)) == ([7, 6], [], [])


def test_edited_words_at_the_same_time_are_found_and_said() -> None:
    edited = "Corvale steps outside the lead foot, throws the straight left, lands."
    lines, lost, said = found_lines(saved_of(notes()[:1]), notes(rows=((5, "R1 2:10", edited),)))
    assert (lines, lost) == ([5], [])
    assert said == [f"{BOUT.file}:5: R1 2:10 '{NOTES[0][2]}' now reads '{edited}'"]


@pytest.mark.parametrize("time", ["R1 2:10-2:04", "R1 2:10–2:04", "R1 2:10 to 2:04", "~R1 2:10"])
def test_a_note_that_was_given_an_end_is_the_same_moment(time: str) -> None:
    assert found_lines(saved_of(notes()[:1]), notes(rows=((8, time, NOTES[0][2]),))) == ([8], [], [])


def test_another_time_is_another_moment_until_it_is_accepted() -> None:
    corrected = notes(rows=((5, "R1 2:12", NOTES[0][2]),))
    lines, lost, _ = found_lines(saved_of(notes()[:1]), corrected)
    offered = f"{BOUT.file}:5, R1 2:12 '{NOTES[0][2]}'"
    gone = f"{BOUT.file}:5: R1 2:10 '{NOTES[0][2]}'"
    assert lines == []
    assert lost == [f"{gone} is not in the notes any more; `fightnotes cut --accept` takes {offered} in its place"]
    assert found_lines(saved_of(notes()[:1]), corrected, accept=True) == (
        [5],
        [],
        [f"{gone}: {offered} is taken in its place"],
    )


def test_another_file_is_another_moment_until_it_is_accepted() -> None:
    elsewhere = notes(OTHER)
    refound = refind(saved_of(notes()[3:]), elsewhere, BOUTS)
    assert refound.candidates == ()
    assert [lost.as_json()["instead"] for lost in refound.lost] == [f"{OTHER.file}:9"]
    accepted = refind(saved_of(notes()[3:]), elsewhere, BOUTS, accept=True)
    assert [one.bout.id for one in accepted.candidates] == ["other-2030"]
    assert len(accepted.remarks) == 1


def test_a_lost_moment_is_offered_nothing_that_another_one_is() -> None:
    """The first was deleted; the second was retimed, and has words like the first's."""
    long = "Brandaal lifts both gloves to draw the counter"
    saved = saved_of(notes(rows=((5, "R1 2:10", f"{long}, again"), (8, "R1 1:10", long))))
    now = notes(rows=((8, "R1 1:10", f"{long} once"),))
    lines, lost, _ = found_lines(saved, now, accept=True)
    assert (lines, len(lost)) == ([8], 1)


def test_short_common_words_at_another_time_are_no_proof() -> None:
    lines, lost, _ = found_lines(saved_of(notes()[1:2]), notes(rows=(NOTES[2],)), accept=True)
    assert lines == []
    assert lost == [
        "bouts/corvale-brandaal-2031.md:6: R1 1:58 'jab again' is not in the notes any more; "
        "nearest is bouts/corvale-brandaal-2031.md:7, R1 1:40 'jab again'"
    ]


def test_a_deleted_note_is_lost_even_where_its_twin_is_in_the_list() -> None:
    """The twin stands unchanged and is itself in the list, so it is not offered for the other."""
    long = "Brandaal lifts both gloves to draw the counter"
    saved = saved_of(notes(rows=((5, "R1 2:10", long), (8, "R1 1:10", long))))
    lines, lost, _ = found_lines(saved, notes(rows=((8, "R1 1:10", long),)), accept=True)
    assert lines == [8]
    assert lost == [f"bouts/corvale-brandaal-2031.md:5: R1 2:10 '{long}' is not in the notes any more"]


def test_one_note_does_not_stand_for_two_moments() -> None:
    long = "Brandaal lifts both gloves to draw the counter"
    saved = saved_of(notes(rows=((5, "R1 2:10", long), (8, "R1 1:10", long))))
    lines, lost, _ = found_lines(saved, notes(rows=((6, "R1 2:11", long),)), accept=True)
    assert (lines, len(lost)) == ([6], 1)


def test_a_place_alone_is_the_note_there() -> None:
    nested = [*notes(), a_segment(BOUT, 99, line=10, last_line=12, written_time="R2 0:30", text="and the counter")]
    outer = a_segment(BOUT, 98, line=9, last_line=14, written_time="R2 0:41", text="Brandaal lifts both gloves")
    assert found_lines(place_alone(7), notes()) == ([7], [], [])
    assert found_lines(place_alone(11), [*nested[:3], outer, nested[-1]]) == ([10], [], [])
    assert found_lines(place_alone(6, words="jab again"), notes()) == ([6], [], [])
    assert found_lines(place_alone(6, time="R1 1:58"), notes()) == ([6], [], [])
    assert found_lines(place_alone(6, time="R1 1:40"), notes())[0] == []
    assert found_lines(place_alone(50, words=NOTES[3][2]), notes()) == ([9], [], [])


def test_a_place_alone_where_no_note_stands_is_lost() -> None:
    lines, lost, _ = found_lines(place_alone(8), notes(), accept=True)
    assert lines == []
    assert lost == [f"{BOUT.file}:8: no note stands there; nearest is {BOUT.file}:7, R1 1:40 'jab again'"]


def test_bad_entries_are_reported_with_their_place_and_the_rest_is_read(tmp_path: Path) -> None:
    path = tmp_path / "list.yaml"
    path.write_text(
        "title: Baits\nhandles: {before: soon}\nreel_start: one\ncuts:\n  - {at: bouts/a.md, words: no line}\n"
        "  - {at: bouts/a.md:3, words: right, colour: red}\n  - words: nowhere\n",
        encoding="utf-8",
    )
    saved, problems = read_saved(path)
    assert [(moment.file, moment.line) for moment in saved.moments] == [("bouts/a.md", 3)]
    assert saved.handles == Handles()
    assert [(problem.line, problem.column) for problem in problems] == [(2, 19), (3, 13), (5, 10), (6, 38), (7, 5)]


@pytest.mark.parametrize(("text", "problems"), [("", 1), ("cuts:\n", 1), ("title: [\n", 1), ("cuts: []\n", 0)])
def test_a_file_that_says_no_cuts_is_a_problem_and_an_empty_list_is_none(
    text: str, problems: int, tmp_path: Path
) -> None:
    (tmp_path / "list.yaml").write_text(text, encoding="utf-8")
    saved, found = read_saved(tmp_path / "list.yaml")
    assert (saved.moments, len(found)) == ((), problems)


def test_no_file_and_no_text_are_errors(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="none"):
        read_saved(tmp_path / "none.yaml")
    (tmp_path / "bytes.yaml").write_bytes(b"\xff\xfe\xfa")
    with pytest.raises(UnreadableFile, match="UTF-8"):
        read_saved(tmp_path / "bytes.yaml")
    with pytest.raises(FightnotesError, match="cannot be written"):
        write_saved(saved_of(notes()), tmp_path / "bytes.yaml" / "list.yaml")


words = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")) | st.just(" "), min_size=1, max_size=60)
plain = words.map(lambda text: " ".join(text.split())).filter(bool)
seconds = st.builds(Handles, before=st.fractions(0, 9, max_denominator=9), after=st.fractions(0, 9, max_denominator=9))


@settings(max_examples=80, deadline=None)
@given(
    plain,
    seconds,
    st.lists(st.tuples(plain, st.integers(1, 9999), plain, plain, st.none() | plain, st.none() | seconds), min_size=1),
)
def test_what_is_written_is_read_back(
    tmp_path_factory: pytest.TempPathFactory,
    title: str,
    handles: Handles,
    rows: list[tuple[str, int, str, str, str | None, Handles | None]],
) -> None:
    moments = tuple(
        SavedMoment(file=file, line=line, time=time, words=text, title=card, handles=own)
        for file, line, time, text, card, own in rows
    )
    saved = SavedList(title=title, handles=handles, moments=moments)
    path = tmp_path_factory.mktemp("saved") / "list.yaml"
    write_saved(saved, path)
    read, problems = read_saved(path)
    assert problems == ()
    assert read == saved
