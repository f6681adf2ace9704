"""What a build reads, embeds, keeps and reports, through the command and the library's method."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

import fightnotes
from fightnotes.index import reread
from fightnotes.reading.library import read_bout
from tests.conftest import MakeLibrary, RunCommand
from tests.index.samples import (
    FILES,
    FIRST,
    LIBRARY,
    SEGMENTS,
    TEXTS,
    files_of_store,
    later,
    report_of,
    rewrite,
    texts_in,
)


class Heard:
    """A progress that remembers what it was told."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.stages: dict[str, list[int]] = {}

    def begin(self, what: str, total: int) -> None:
        self.stages[what] = [total]

    def advance(self, steps: int) -> None:
        list(self.stages.values())[-1].append(steps)

    def say(self, message: str) -> None:
        self.said.append(message)


def rebuild(root: Path) -> fightnotes.BuildReport:
    return fightnotes.open_library(root).build()


def counts(report: fightnotes.BuildReport) -> tuple[int, int, int]:
    return report.files_read, report.embedded, report.reused


def test_the_first_build_reads_and_embeds_all(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("build", "--library", root, "--format", "json")
    report = report_of(result)
    assert result.exit_code == 0
    assert report["rebuilt_because"] == "there was no index yet"
    assert (report["bouts"], report["segments"]) == (2, SEGMENTS)
    assert (report["files_read"], report["embedded"], report["reused"]) == (FILES, TEXTS, 0)
    assert report["problems"] == report["unclaimed"] == report["moved"] == report["removed"] == []
    assert len(texts_in(root)) == SEGMENTS


def test_a_build_of_what_has_not_changed_writes_nothing(built: Path) -> None:
    before = files_of_store(built)
    manifest = (built / ".fightnotes/manifest.json").stat()
    report = rebuild(built)
    assert counts(report) == (0, 0, 0)
    assert report.bouts_unchanged == 2
    assert (report.bouts, report.segments) == (2, SEGMENTS)
    assert files_of_store(built) == before
    assert (built / ".fightnotes/manifest.json").stat().st_mtime_ns == manifest.st_mtime_ns


def test_the_files_of_older_stores_go(built: Path) -> None:
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    rebuild(built)
    files = files_of_store(built)
    assert {"store-2.sqlite", "vectors-2.faiss"} < files
    assert not {"store-1.sqlite", "vectors-1.faiss"} & files


def test_what_other_parts_keep_in_the_folder_stays(built: Path) -> None:
    undo = built / ".fightnotes/undo/20310308-merge.json"
    undo.parent.mkdir()
    undo.write_text("{}")
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    rebuild(built)
    assert undo.exists()


def test_an_edited_note_embeds_its_changed_segment_alone(built: Path, fightnotes: RunCommand) -> None:
    rewrite(built, "bouts/first.md", "low gloves", "both gloves on the chin")
    result = fightnotes("build", "--library", built, "--format", "json")
    report = report_of(result)
    assert (report["files_read"], report["bouts_unchanged"], report["embedded"], report["reused"]) == (1, 1, 1, 3)
    assert "Marvane waits with both gloves on the chin." in texts_in(built)
    assert "Marvane waits with low gloves." not in texts_in(built)


def test_two_notes_of_one_text_in_a_bout_survive_an_edit_beside_them(built: Path) -> None:
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    rebuild(built)
    assert texts_in(built).count("jab") == 2


def test_a_text_that_another_bout_has_is_not_embedded_again(built: Path) -> None:
    rewrite(built, "bouts/second.md", "Oduro turns out of the corner and hits the body.", "jab")
    assert counts(rebuild(built)) == (2, 0, 2)
    assert texts_in(built).count("jab") == 3


def test_an_edited_transcript_is_read_with_its_bout(built: Path) -> None:
    rewrite(built, "transcripts/marvane-oduro.vtt", "left hook", "right hook")
    assert counts(rebuild(built)) == (2, 1, 1)


def test_changed_metadata_is_stored_and_embeds_nothing(built: Path) -> None:
    rewrite(built, "bouts/first.md", "analyst: mk", "analyst: dv")
    rewrite(built, "bouts/first.md", "by:quell", "by:quell outcome:landed")
    assert counts(rebuild(built)) == (1, 0, 4)
    segments = fightnotes.open_library(built).store.every_segment().values()
    first = [segment for segment in segments if segment.file == "bouts/first.md"]
    assert {segment.analyst for segment in first} == {"dv"}
    assert first[0].fields.outcome == ("landed",)


def test_a_new_label_reads_all_again_and_embeds_only_its_concept(built: Path) -> None:
    rewrite(built, "bouts/first.md", "#outside-step", "#foot-outside")
    rebuild(built)
    rewrite(built, "vocabulary.yaml", "label: outside step", "label: outside step, also: [foot outside]")
    heard = Heard()
    report = fightnotes.open_library(built).build(heard)
    assert counts(report) == (FILES, 0, SEGMENTS)
    store = fightnotes.open_library(built).store
    assert [tag.concept for segment in store.every_segment().values() for tag in segment.tags] == ["outside-step"]


def test_a_new_concept_has_a_vector(built: Path) -> None:
    vocabulary = built / "vocabulary.yaml"
    vocabulary.write_text(vocabulary.read_text() + "  - {id: jab, label: jab}\n")
    assert counts(rebuild(built)) == (FILES, 0, SEGMENTS)
    store = fightnotes.open_library(built).store
    ids, vectors = store.concept_vectors
    assert ids == ("jab", "low-guard", "outside-step")
    assert float(vectors[0] @ store.encoder.encode(["jab"])[0]) > 0.9999


def test_a_changed_definition_reads_all_again_and_embeds_no_text(built: Path) -> None:
    """A talk is read by what the vocabulary says: its words are no mishearings."""
    rewrite(built, "vocabulary.yaml", "put outside the", "put on the outside of the")
    before = fightnotes.open_library(built).store.concept_vectors[1]
    assert counts(rebuild(built)) == (FILES, 0, SEGMENTS)
    after = fightnotes.open_library(built).store.concept_vectors[1]
    assert (before[0] == after[0]).all()  # low-guard
    assert (before[1] != after[1]).any()  # outside-step


@pytest.mark.parametrize(
    ("name", "added"),
    [
        ("vocabulary.yaml", "terms: [{say: left hook, misheard: [left cook]}]\n"),
        ("library.yaml", "fighters: [{id: oduro, name: Kit Oduro, misheard: [left cook]}]\n"),
    ],
)
def test_a_mishearing_listed_anew_mends_what_was_read_before(built: Path, name: str, added: str) -> None:
    rewrite(built, "transcripts/marvane-oduro.vtt", "left hook", "left cook")
    rebuild(built)
    (built / name).write_text((built / name).read_text() + added)
    assert rebuild(built).files_read == FILES
    store = fightnotes.open_library(built).store
    (talk,) = (segment for segment in store.every_segment().values() if segment.kind == "transcript")
    assert [repair.heard for repair in talk.repairs] == ["left cook"]
    assert "left cook" not in talk.text


def test_a_changed_title_of_the_library_reads_no_bout(built: Path) -> None:
    settings = built / "library.yaml"
    settings.write_text(settings.read_text() + "title: Two bouts\n")
    assert counts(rebuild(built)) == (0, 0, 0)
    assert fightnotes.open_library(built).store.settings.title == "Two bouts"


def test_a_changed_default_length_reads_all_again(built: Path) -> None:
    settings = built / "library.yaml"
    settings.write_text(settings.read_text() + "default_length: 4\n")
    assert counts(rebuild(built)) == (FILES, 0, SEGMENTS)
    store = fightnotes.open_library(built).store
    assert {segment.end - segment.start for segment in store.every_segment().values() if segment.kind == "note"} == {4}


def test_a_file_with_another_time_and_the_same_content_is_not_read(built: Path) -> None:
    later(built / "bouts/first.md")
    assert fightnotes.open_library(built).store.changed_files() == ["bouts/first.md"]
    assert counts(rebuild(built)) == (0, 0, 0)
    assert fightnotes.open_library(built).store.changed_files() == []


def test_a_moved_bout_is_told_and_embeds_nothing(built: Path) -> None:
    (built / "bouts/2030").mkdir()
    shutil.move(built / "bouts/first.md", built / "bouts/2030/quell.md")
    report = rebuild(built)
    assert report.moved == ("bouts/first.md",)
    assert report.removed == ()
    assert counts(report) == (1, 0, 4)
    files = {segment.file for segment in fightnotes.open_library(built).store.every_segment().values()}
    assert "bouts/2030/quell.md" in files
    assert "bouts/first.md" not in files
    assert len(texts_in(built)) == SEGMENTS


def test_a_removed_bout_vanishes(built: Path, fightnotes: RunCommand) -> None:
    (built / "bouts/first.md").unlink()
    report = report_of(fightnotes("build", "--library", built, "--format", "json"))
    assert report["removed"] == ["bouts/first.md"]
    assert (report["bouts"], report["segments"], report["files_read"]) == (1, 2, 0)
    assert len(texts_in(built)) == 2


def test_a_library_that_was_emptied_and_filled_again(built: Path) -> None:
    shutil.move(built / "bouts", built / "away")
    assert (rebuild(built).segments, texts_in(built)) == (0, [])
    shutil.move(built / "away", built / "bouts")
    assert counts(rebuild(built)) == (FILES, TEXTS, 0)


def test_the_second_bout_with_an_id_is_reported_until_one_of_them_changes(built: Path) -> None:
    twin = built / "bouts/zz-copy.md"
    twin.write_text(FIRST.replace("low gloves", "no gloves"))
    report = rebuild(built)
    assert [problem.file for problem in report.problems] == ["bouts/zz-copy.md"]
    assert report.segments == SEGMENTS
    assert counts(rebuild(built)) == (0, 0, 0), "a duplicate that stands is not read at every build"

    rewrite(built, "bouts/zz-copy.md", "quell-marvane-2030", "quell-marvane-2032")
    report = rebuild(built)
    assert report.problems == ()
    assert report.segments == SEGMENTS + 4
    assert report.embedded == 1


def test_a_duplicate_takes_the_place_of_the_first_when_that_goes(built: Path) -> None:
    (built / "bouts/zz-copy.md").write_text(FIRST.replace("low gloves", "no gloves"))
    rebuild(built)
    (built / "bouts/first.md").unlink()
    report = rebuild(built)
    assert report.problems == ()
    assert "Marvane waits with no gloves." in texts_in(built)


def test_a_duplicate_that_sorts_first_becomes_the_one(built: Path) -> None:
    (built / "bouts/aa-copy.md").write_text(FIRST.replace("low gloves", "no gloves"))
    report = rebuild(built)
    assert [problem.file for problem in report.problems] == ["bouts/first.md"]
    assert report.segments == SEGMENTS
    assert "Marvane waits with no gloves." in texts_in(built)


def test_problems_stay_until_mended_and_the_rest_is_indexed(built: Path, fightnotes: RunCommand) -> None:
    rewrite(built, "bouts/first.md", "by:quell", "by:nobody")
    (built / "bouts/broken.md").write_bytes(b"---\nbout: [\n---\n- 0:01 a note all the same\n")
    first = fightnotes("build", "--library", built, "--format", "json")
    again = fightnotes("build", "--library", built, "--format", "json")
    assert first.exit_code == again.exit_code == 1
    assert report_of(again)["files_read"] == 0
    assert report_of(first)["problems"] == report_of(again)["problems"]
    places = {(problem["file"], problem["line"], problem["kind"]) for problem in report_of(again)["problems"]}
    assert ("bouts/first.md", 8, "unknown-fighter") in places
    assert any((file, kind) == ("bouts/broken.md", "unreadable") for file, _, kind in places)
    assert "bouts/first.md:8:" in again.stderr
    assert "Oduro turns out of the corner and hits the body." in texts_in(built)

    rewrite(built, "bouts/first.md", "by:nobody", "by:quell")
    (built / "bouts/broken.md").unlink()
    mended = fightnotes("build", "--library", built)
    assert (mended.exit_code, mended.stderr) == (0, "")


def test_a_fault_of_the_vocabulary_is_reported_and_goes_when_mended(built: Path) -> None:
    rewrite(built, "vocabulary.yaml", "label: low guard", "label: outside step")
    assert {problem.file for problem in rebuild(built).problems} == {"vocabulary.yaml"}
    assert rebuild(built).problems != ()
    rewrite(built, "vocabulary.yaml", "{id: low-guard, label: outside step}", "{id: low-guard, label: low guard}")
    assert rebuild(built).problems == ()


def test_a_transcript_that_no_bout_names_is_told(built: Path, fightnotes: RunCommand) -> None:
    (built / "transcripts/other.srt").write_text("1\n00:00:01,000 --> 00:00:02,000\nwords\n")
    result = fightnotes("build", "--library", built, "--format", "json")
    assert report_of(result)["unclaimed"] == ["transcripts/other.srt"]
    assert "transcripts/other.srt" in result.stderr
    assert result.exit_code == 0


def test_a_missing_source_is_a_problem_until_it_appears(make_library: MakeLibrary) -> None:
    root = make_library({name: text for name, text in LIBRARY.items() if "transcripts" not in name})
    first = rebuild(root)
    assert [problem.file for problem in first.problems] == ["transcripts/marvane-oduro.vtt"]
    assert first.segments == SEGMENTS - 1
    assert counts(rebuild(root)) == (0, 0, 0)
    assert fightnotes.open_library(root).store.changed_files() == []

    source = root / "transcripts/marvane-oduro.vtt"
    source.parent.mkdir()
    source.write_text(LIBRARY["transcripts/marvane-oduro.vtt"])
    assert fightnotes.open_library(root).store.changed_files() == ["transcripts/marvane-oduro.vtt"]
    report = rebuild(root)
    assert (report.problems, report.segments) == ((), SEGMENTS)
    assert counts(report) == (2, 1, 1)


def test_a_file_written_while_it_is_read_is_read_again(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def read_and_be_overtaken(root: Path, file: str, configuration: Any) -> Any:
        reading = read_bout(root, file, configuration)
        rewrite(root, "bouts/first.md", "wide", "close")
        return reading

    rewrite(built, "bouts/first.md", "low gloves", "wide gloves")
    with monkeypatch.context() as patched:
        patched.setattr(reread, "read_bout", read_and_be_overtaken)
        rebuild(built)
    assert "Marvane waits with wide gloves." in texts_in(built)
    rebuild(built)
    assert "Marvane waits with close gloves." in texts_in(built)


def test_a_store_that_is_open_keeps_its_snapshot(built: Path) -> None:
    library = fightnotes.open_library(built)
    before = library.store.every_segment()
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    (built / "bouts/second.md").unlink()
    rebuild(built)
    assert library.store.every_segment() == before
    assert library.store.vectors_of(list(before)).shape == (SEGMENTS, library.store.encoder.dimension)
    assert any(hit.text == "Marvane waits with low gloves." for hit in library.find("low gloves").hits)


def test_a_library_opens_the_new_store_after_its_own_build(built: Path) -> None:
    library = fightnotes.open_library(built)
    assert library.store.size == SEGMENTS
    (built / "bouts/second.md").unlink()
    library.build()
    assert library.store.size == SEGMENTS - 2


def test_a_file_name_that_is_not_unicode_is_reported(built: Path) -> None:
    try:
        (built / "bouts/\udcff.md").write_text(FIRST)
    except OSError:
        pytest.skip("this file system takes only names in Unicode")
    report = rebuild(built)
    assert [problem.found for problem in report.problems] == ["a file name that is not UTF-8"]
    assert report.segments == SEGMENTS


def test_a_link_that_leads_to_itself_is_reported(built: Path) -> None:
    (built / "bouts/loop.md").symlink_to("loop.md")
    report = rebuild(built)
    assert [problem.file for problem in report.problems] == ["bouts/loop.md"]
    assert counts(rebuild(built)) == (0, 0, 0)


@pytest.mark.parametrize("files", [{}, {"bouts/empty.md": ""}, {"bouts/one.md": "- 0:01 jab\n"}])
def test_the_smallest_libraries(make_library: MakeLibrary, files: dict[str, str], fightnotes: RunCommand) -> None:
    root = make_library(files)
    report = report_of(fightnotes("build", "--library", root, "--format", "json"))
    assert report["segments"] == len(texts_in(root)) == sum("jab" in text for text in files.values())
    assert fightnotes("find", "jab", "--library", root).exit_code == 0


def test_progress_is_told_in_stages_that_add_up(root: Path) -> None:
    heard = Heard()
    fightnotes.open_library(root).build(heard)
    assert heard.stages == {"Reading": [2, 1, 1], "Embedding": [TEXTS, TEXTS]}
    (said,) = heard.said
    assert said.startswith(f"exporting the encoder from {fightnotes.open_library(root).store.settings.model} to ")


def test_no_progress_is_drawn_where_the_output_is_no_terminal(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("build", "--library", root)
    assert result.stderr.count("\n") == 1
    assert result.stderr.startswith("exporting the encoder from ")
    rewrite(root, "bouts/first.md", "low gloves", "high gloves")
    assert fightnotes("build", "--library", root).stderr == ""


def test_the_library_method_prints_nothing(root: Path, capfd: pytest.CaptureFixture[str]) -> None:
    rebuild(root)
    printed = capfd.readouterr()
    assert (printed.out, printed.err) == ("", "")
