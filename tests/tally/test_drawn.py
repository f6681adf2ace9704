"""`--picture` of `tally` and `follow`, and `fightnotes timeline`: the files read back."""

from __future__ import annotations

import csv
import io
import json
import re
import struct
import zlib
from pathlib import Path
from xml.etree import ElementTree

import pytest

from fightnotes.library import open_library
from tests.conftest import MakeLibrary, RunCommand
from tests.tally.conftest import built
from tests.tally.sequence_samples import HOSTILE, LIBRARY, crowded

SVG = "{http://www.w3.org/2000/svg}"
CROWDED = {"vocabulary.yaml": HOSTILE, "bouts/crowded.md": crowded()}


@pytest.fixture(scope="session")
def chained_library(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    return built(tmp_path_factory.mktemp("drawn"), small_model, LIBRARY)


@pytest.fixture(scope="session")
def crowded_library(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    return built(tmp_path_factory.mktemp("crowded"), small_model, CROWDED)


def drawn(fightnotes: RunCommand, root: Path, folder: Path, *words: str) -> ElementTree.Element:
    """The drawing as SVG; the PNG of the same must be three times its size."""
    for ending in ("svg", "png"):
        path = folder / f"drawn.{ending}"
        result = fightnotes(*words, "--library", root, "--picture", path)
        assert result.exit_code == 0, result.stderr
        assert f"wrote {path}" in result.stderr
    svg = ElementTree.parse(folder / "drawn.svg").getroot()
    wide, tall = (float(each) for each in svg.attrib["viewBox"].split()[2:])
    assert png_size((folder / "drawn.png").read_bytes()) == (round(3 * wide), round(3 * tall))
    return svg


def png_size(content: bytes) -> tuple[int, int]:
    """Of a whole PNG: each chunk's checksum holds (ISO/IEC 15948, 5.3)."""
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    place, kinds = 8, []
    while place < len(content):
        length = struct.unpack(">I", content[place : place + 4])[0]
        chunk = content[place + 4 : place + 8 + length]
        assert zlib.crc32(chunk) == struct.unpack(">I", content[place + 8 + length : place + 12 + length])[0]
        kinds.append(chunk[:4])
        place += 12 + length
    assert (kinds[0], kinds[-1]) == (b"IHDR", b"IEND")
    width, height = struct.unpack(">II", content[16:24])
    return width, height


def words_of(svg: ElementTree.Element) -> str:
    """What a reader who does not see it hears."""
    told = svg.findtext(f"{SVG}desc")
    assert svg.attrib["role"] == "img"
    assert told
    return told


def shown(svg: ElementTree.Element) -> list[str]:
    return ["".join(each.itertext()) for each in svg.iter(f"{SVG}text")]


def test_bars_of_a_tally_tell_rates_and_what_was_looked_at(
    chained_library: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "concept", "--by", "quell")
    assert svg.findtext(f"{SVG}title") == "acts a round by concept"
    told = words_of(svg)
    assert "straight right: 1 acts a round (0.27 to 2.6), 4 in 4 rounds" in told
    assert "only: by quell" in told
    assert "noted: 4 of 5 rounds of 1 bout" in told
    assert len([each for each in svg.iter(f"{SVG}rect") if each.get("class") == "main"]) == 7
    assert float(svg.attrib["viewBox"].split()[2]) == 340


def test_columns_over_rounds_mark_the_round_that_nobody_noted(
    chained_library: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "round", "--tag", "straight-right")
    assert words_of(svg).startswith("1: 2 acts a round (0.24 to 7.2), 2 in 1 round; 2: 2 acts")
    assert "; 4: not noted; 5: 0 acts a round" in words_of(svg)
    assert len([each for each in svg.iter(f"{SVG}rect") if each.get("class") == "main"]) == 4
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "round", "--tag", "straight-right", "--show", "success")
    assert "1: 50 % of acts with an outcome that succeeded (9.5 to 91), 1 of 2" in words_of(svg)


def test_two_dimensions_are_charts_on_one_scale_or_a_grid(
    chained_library: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "fighter", "round")
    assert "quell: 1: 5 acts a round" in words_of(svg)
    assert "marvane: 1: 1 acts a round" in words_of(svg)
    scales = [each for each in shown(svg) if each == "15"]
    assert len(scales) == 3, "both fighters, and what nobody is said to have done"
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "concept", "outcome")
    assert "straight right and knockdown: 1" in words_of(svg)


def test_a_matrix_has_what_follows_in_the_row_of_what_it_follows(
    chained_library: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    told = words_of(drawn(fightnotes, chained_library, tmp_path, "follow"))
    assert "level change → straight right: 3" in told
    assert "straight right → level change" not in told
    assert "not what caused it" in told
    told = words_of(drawn(fightnotes, chained_library, tmp_path, "follow", "level-change", "footwork", "--by", "quell"))
    assert told.startswith("level change → footwork: 3; in the row")


def test_a_timeline_has_letters_corners_knockdowns_and_broken_rounds(
    chained_library: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    svg = drawn(fightnotes, chained_library, tmp_path, "timeline", "chains")
    told = words_of(svg)
    assert told.startswith(
        "R1: 2:50 level-change by quell, 2:48 deep-step by quell, 2:45 straight-right by quell, knockdown, knockdown, "
    )
    assert "; R4: not noted; R5: 2:00 jab, 1:58 check-hook by marvane, knockdown, knockdown; " in told
    bold = [each for each in svg.iter(f"{SVG}text") if each.get("font-weight") == "bold" and each.get("class")]
    letters = [((each.text or ""), each.attrib["class"]) for each in bold]
    assert letters.count(("▼", "red")) == 1
    assert letters.count(("▼", "blue")) == 1
    assert [each for each in letters if each[1] == "ink"] == [("E", "ink")], "nobody says who jabs"
    assert {"A level change", "B straight right", "E jab", "▼ knockdown"} <= set(shown(svg))
    broken = [each for each in svg.iter(f"{SVG}line") if each.get("stroke-dasharray")]
    assert len(broken) == 1


def test_tags_choose_the_letters_of_a_timeline(chained_library: Path, fightnotes: RunCommand, tmp_path: Path) -> None:
    words = ("timeline", "chains", "--tag", "footwork", "--tag", "jab")
    svg = drawn(fightnotes, chained_library, tmp_path, *words)
    assert {"A footwork", "B jab", "• anything else", "▼ knockdown"} <= set(shown(svg))
    assert "3:00" not in words_of(svg)
    result = fightnotes(*words, "--library", chained_library, "--format", "json")
    told = json.loads(result.stdout)
    assert told["key"] == [{"letter": "A", "concept": "footwork"}, {"letter": "B", "concept": "jab"}]
    acts = [(act["letter"], act["concept"]) for one in told["rounds"] for act in one["acts"]]
    assert acts == [
        ("A", "deep-step"), ("•", "straight-right"), ("A", "side-step"), ("A", "deep-step"), ("B", "jab"), ("B", "jab"),
        ("•", "check-hook"),
    ]  # fmt: skip
    result = fightnotes("timeline", "chains", *(9 * ("--tag", "jab")), "--library", chained_library)
    assert (result.exit_code, "give no more tags" in result.stderr) == (2, True)


def test_a_timeline_without_a_picture_is_a_table(chained_library: Path, fightnotes: RunCommand) -> None:
    table = fightnotes("timeline", "chains", "--library", chained_library).stdout
    assert "R1 2:50" in table
    assert "level-change by quell" in table
    assert "bouts/chains.md:12" in table
    assert "not noted, and drawn broken: R4" in table
    assert "left out, at no time of a round: 1 act\n" in table
    result = fightnotes("timeline", "chains", "--library", chained_library, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert (rows[0]["round"], rows[0]["seconds_gone"], rows[0]["letter"]) == ("1", "10.0", "A")
    assert fightnotes("timeline", "chians", "--library", chained_library).exit_code == 2


@pytest.mark.parametrize(
    "words",
    [("timeline", "crowded"), ("follow",), ("tally", "concept"), ("tally", "concept", "round"), ("tally", "round")],
)
def test_hostile_labels_and_crowded_rounds_stay_in_the_drawing(
    crowded_library: Path, fightnotes: RunCommand, tmp_path: Path, words: tuple[str, ...]
) -> None:
    svg = drawn(fightnotes, crowded_library, tmp_path, *words)
    text = "".join(svg.itertext())
    assert "\u202e" not in text
    assert "\x07" not in text
    wide, tall = (float(each) for each in svg.attrib["viewBox"].split()[2:])
    assert wide <= 420
    for each in svg.iter(f"{SVG}text"):
        x, y = each.get("x"), each.get("y")
        if x is not None and y is not None:
            assert 0 <= float(x) <= wide
            assert float(y) <= tall
    assert not list(svg.iter(f"{SVG}b")), "a label is text"


def test_a_bout_of_fifteen_rounds_with_sixty_moments_in_one(
    crowded_library: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    svg = drawn(fightnotes, crowded_library, tmp_path, "timeline", "crowded")
    bold = [each for each in svg.iter(f"{SVG}text") if each.get("font-weight") == "bold" and each.get("class")]
    assert len(bold) == 12 * 4 + 60 + 13
    assert len([each for each in bold if each.text == "▼"]) == 13
    assert words_of(svg).count("not noted") == 3, "R4, R9 and the line that says so"


def test_what_has_no_rate_is_drawn_by_its_count(chained_library: Path, fightnotes: RunCommand, tmp_path: Path) -> None:
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "stance")
    assert svg.findtext(f"{SVG}title") == "acts by stance"
    assert re.search(r"orthodox: \d+ acts", words_of(svg))
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "stance", "--show", "per-round")
    assert "orthodox: no rate known" in words_of(svg)
    svg = drawn(fightnotes, chained_library, tmp_path, "tally", "concept", "--show", "success")
    assert "side step: no outcome written" in words_of(svg)
    assert not any("not noted" in text for text in shown(svg))


def test_nothing_to_draw_is_said(make_library: MakeLibrary, fightnotes: RunCommand, tmp_path: Path) -> None:
    empty = {"vocabulary.yaml": HOSTILE, "bouts/a.md": "---\nbout: a\nred: {name: Ada Quell}\n---\nNothing yet.\n"}
    root = make_library(empty)
    open_library(root).build()
    assert "nothing to draw" in words_of(drawn(fightnotes, root, tmp_path, "follow"))
    assert "nothing was counted" in words_of(drawn(fightnotes, root, tmp_path, "tally", "concept"))
    assert "nothing was counted" in words_of(drawn(fightnotes, root, tmp_path, "tally", "concept", "outcome"))
    assert "noted: 0 of 0 rounds" in words_of(drawn(fightnotes, root, tmp_path, "timeline", "a"))


def test_a_picture_goes_over_no_file_of_the_library_and_has_a_known_ending(
    make_library: MakeLibrary, fightnotes: RunCommand
) -> None:
    root = make_library(LIBRARY)
    open_library(root).build()
    link = root / "notes.svg"
    link.hardlink_to(root / "bouts" / "chains.md")
    before = link.read_bytes()
    result = fightnotes("follow", "--library", root, "--picture", link)
    assert result.exit_code == 1
    assert "belongs to the library" in result.stderr
    assert link.read_bytes() == before
    result = fightnotes("tally", "concept", "--library", root, "--picture", root / "picture.jpg")
    assert (result.exit_code, "named .svg or .png" in result.stderr) == (2, True)
    assert not (root / "picture.jpg").exists()
