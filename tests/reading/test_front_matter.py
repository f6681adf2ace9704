"""Front matter and `library.yaml`: every key, and the place of every complaint."""

from __future__ import annotations

import datetime
from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.clock import RoundFormat
from fightnotes.errors import Problem
from fightnotes.model import OUTCOMES, Bout, Fighter, Settings, Source
from fightnotes.reading.front_matter import bout_from
from fightnotes.reading.opening import allowed_folders
from fightnotes.reading.people import find_fighter
from fightnotes.reading.placed_yaml import Reporter, read_yaml
from fightnotes.reading.settings_file import read_settings

FULL = """\
bout: corvale-brandaal-2031
title: Corvale v Brandaal
date: 2031-03-08
rounds: {count: 10, length: "3:00", rest: "1:00", clock: down}
red:  {name: Ines Corvale, stance: southpaw, also: [Corvale, Ines]}
blue: {id: brand, name: Rika Brandaal, stance: Orthodox, also: Brandaal, misheard: [brand all]}
media: {file: media/a.mp4, rate: 29.97, drop_frame: true, start: "10:00:00;00", bells: {1: "0:04:10", 3: "10:12:10;00"}}
recordings: {breakdown: {file: media/talk.mp4, rate: 25, align: [["0:12", "0:04:52"], ["00:06:40:00", "0:31:05"]]}}
sources:
  - {file: ../transcripts/talk.vtt, kind: transcript, analyst: dv, timed_on: breakdown}
  - ../second/look.md
analyst: mk
"""


def read(text: str, settings: Settings | None = None) -> tuple[Bout, list[Problem]]:
    reporter = Reporter("bouts/2031/a.md")
    root = read_yaml(text, reporter)
    read_against = settings or Settings()
    folders = allowed_folders(Path("/library"), read_against.media_roots)
    return bout_from(root, "bouts/2031/a.md", read_against, folders, reporter), reporter.problems


def test_every_key() -> None:
    bout, problems = read(FULL)
    assert problems == []
    assert (bout.id, bout.id_place, bout.title) == ("corvale-brandaal-2031", (1, 7), "Corvale v Brandaal")
    assert bout.date == datetime.date(2031, 3, 8)
    assert bout.rounds == RoundFormat(10, Fraction(180), Fraction(60), "down")
    assert bout.red == Fighter(id="corvale", name="Ines Corvale", also=("Corvale", "Ines"), stance="southpaw")
    assert bout.blue == Fighter(
        id="brand", name="Rika Brandaal", also=("Brandaal",), misheard=("brand all",), stance="orthodox"
    )
    footage = bout.footage
    assert footage is not None
    # SMPTE ST 12-1: an hour of drop-frame labels at 30000/1001 is 107,892 frames.
    assert (footage.file, footage.rate, footage.drop_frame) == ("media/a.mp4", Fraction(30000, 1001), True)
    assert footage.first_frame == 10 * 107_892
    assert bout.bells[1].time == 250
    # 12 minutes and 10 seconds of labels: 21,900 less two for each minute but the tenth.
    assert bout.bells[3].time == (730 * 30 - 2 * 11) / Fraction(30000, 1001)
    assert [number for number, bell in bout.bells.items() if bell.inferred] == [2, 4, 5, 6, 7, 8, 9, 10]
    align = bout.recordings["breakdown"].align
    assert align is not None
    assert align.pairs == ((12, 292), (400, 1865))
    assert bout.sources == (
        Source(file="bouts/transcripts/talk.vtt", kind="transcript", analyst="dv", timed_on="breakdown"),
        Source(file="bouts/second/look.md", kind="notes"),
    )
    assert bout.analyst == "mk"


def test_nothing_at_all() -> None:
    bout, problems = read("")
    assert problems == []
    assert (bout.id, bout.title, bout.id_place) == ("a", "a", (1, 1))


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "expected"),
    [
        ("boat: x", 1, 1, "'boat'", "one of bout, title"),
        ("bout: x\nbout: y", 2, 1, "'bout'", "each key once"),
        ("bout: [x]", 1, 7, "a list", "text"),
        ("date: 8 March", 1, 7, "'8 March'", "a date such as"),
        ("date: 8.3.2031", 1, 7, "'8.3.2031'", "2031-03-08 or 2031-08-03"),
        ("date: 3/8/2031", 1, 7, "'3/8/2031'", "2031-08-03 or 2031-03-08"),
        ("date: 8.3.31", 1, 7, "'8.3.31'", "a date such as"),
        ("date: 31.2.2031", 1, 7, "'31.2.2031'", "a date such as"),
        ("rounds: ten", 1, 9, "'ten'", "or such as 10 x 3:00"),
        ("rounds: 0", 1, 9, "'0'", "or such as 10 x 3:00"),
        ("rounds: 10 x 180", 1, 9, "'10 x 180'", "or such as 10 x 3:00"),
        ("rounds: 10 x 3:00 x 2", 1, 9, "'10 x 3:00 x 2'", "or such as 10 x 3:00"),
        ("rounds: [10]", 1, 9, "a list", "a mapping with count"),
        ("rounds: {count: ten}", 1, 17, "'ten'", "a whole number"),
        ("rounds: {count: 0}", 1, 17, "'0'", "from 1 to 999"),
        ("rounds: {length: 180}", 1, 18, "'180'", "a length such as 3:00"),
        ('rounds: {length: "0:00"}', 1, 18, "'0:00'", "above 0:00"),
        ("rounds: {rest: none}", 1, 16, "'none'", "a length such as 1:00"),
        ("rounds:\n  clock: sideways", 2, 10, "'sideways'", "down or up"),
        ("rounds: {bells: 3}", 1, 10, "'bells'", "one of count"),
        ("red: {stance: southpaw}", 1, 6, "a mapping", "a fighter's name or id"),
        ("red: '...'", 1, 6, "'...'", "a fighter's name or id"),
        ("red: [Ines, Corvale]", 1, 6, "a list", "a mapping with id"),
        ("red: {name: A B, stance: open}", 1, 26, "'open'", "one of orthodox"),
        ("red: {name: A B}\nblue: {name: C B}", 2, 7, "red's id 'b' again", "an id of its own"),
        ("media: [a.mp4]", 1, 8, "a list", "a mapping with file"),
        ("media: {rate: fast}", 1, 15, "'fast'", "a rate such as"),
        ("media: {rate: 25, drop_frame: true}", 1, 31, "'true'", "a rate of 30000/1001"),
        ("media: {rate: 25, drop_frame: perhaps}", 1, 31, "'perhaps'", "true or false"),
        ('media: {start: "10:00:00:00"}', 1, 16, "'10:00:00:00'", "a rate to count it at"),
        ('media: {rate: 25, start: "0:10"}', 1, 26, "'0:10'", "the timecode of the first frame"),
        ('media: {rate: 25, start: "10:00:00:25"}', 1, 26, "10:00:00:25", "frames from 00 to 24"),
        ('media: {bells: {1: "0:10"}}', 1, 16, "a mapping", "`rounds` to count them with"),
        ('rounds: {}\nmedia: {bells: ["0:10"]}', 2, 16, "a list", "a mapping of round to time"),
        ('rounds: {}\nmedia: {bells: {one: "0:10"}}', 2, 17, "'one'", "a round's number"),
        ('rounds: {count: 3}\nmedia: {bells: {4: "0:10"}}', 2, 17, "'4'", "a round from 1 to 3"),
        ('rounds: {}\nmedia: {bells: {1: "0:10", 1: "0:11"}}', 2, 28, "'1'", "each round once"),
        ('rounds: {}\nmedia: {bells: {1: "R1 0:10"}}', 2, 20, "'R1 0:10'", "a time such as"),
        ('rounds: {}\nmedia: {bells: {1: "0:75"}}', 2, 20, "0:75", "seconds from 00 to 59"),
        ('rounds: {}\nmedia: {bells: {1: ["0:10"]}}', 2, 20, "a list", "a time such as"),
        ('rounds: {}\nmedia: {bells: {1: "00:00:10:00"}}', 2, 20, "a timecode", "the recording's rate"),
        ('rounds: {}\nmedia: {bells: {2: "4:00", 1: "5:00"}}', 2, 20, "'4:00'", "a time after the bell of round 1"),
        ("recordings: [talk]", 1, 13, "a list", "a mapping of recording names"),
        ("recordings: {footage: {file: a}}", 1, 14, "'footage'", "`media` describes"),
        ("recordings: {talk: {bells: {}}}", 1, 21, "'bells'", "one of file"),
        ('recordings: {talk: {align: [["0:12"]]}}', 1, 29, "a list", "a pair"),
        ('recordings: {talk: {align: [["0:12", ~]]}}', 1, 38, "nothing", "a time such as"),
        ('recordings: {t: {align: [["0:12", "1:00"], ["0:11", "2:00"]]}}', 1, 44, "0:11", "a time after 0:12"),
        ("sources: [{kind: notes}]", 1, 11, "a mapping", "a source with a file"),
        ("sources: [{file: ../../../a.vtt}]", 1, 18, "'../../../a.vtt'", "inside the library"),
        ("sources: [/etc/a.vtt]", 1, 11, "'/etc/a.vtt'", "inside the library"),
        ("sources: [a.vtt, ./a.vtt]", 1, 18, "'./a.vtt'", "each file once"),
        ("sources: [a.md]", 1, 11, "'a.md'", "not the bout's own"),
        ("sources: [{file: a.vtt, kind: film}]", 1, 31, "'film'", "one of notes, transcript"),
        ("sources: [{file: a.vtt, timed_on: talk}]", 1, 35, "'talk'", "one of footage"),
        ("sources:\n  file: {}", 2, 3, "a mapping", "a list"),
    ],
)
def test_a_complaint_and_its_place(text: str, line: int, column: int, found: str, expected: str) -> None:
    _, problems = read(text)
    assert len(problems) == 1, problems
    (problem,) = problems
    assert (problem.file, problem.line, problem.column) == ("bouts/2031/a.md", line, column)
    assert found in problem.found
    assert expected in problem.expected


@pytest.mark.parametrize(
    ("written", "count", "length"),
    [
        ("6", 6, 180),
        ("6 rounds", 6, 180),
        ("10 x 3:00", 10, 180),
        ("10x2", 10, 120),
        ("12 × 3:00", 12, 180),
        ("5 x 5 min", 5, 300),
        ("4 rounds of 2:00", 4, 120),
        ("'8'", 8, 180),
    ],
)
def test_rounds_in_one_word(written: str, count: int, length: int) -> None:
    bout, problems = read(f"rounds: {written}")
    assert problems == []
    assert bout.rounds == RoundFormat(count, Fraction(length), Fraction(60), "down")


@pytest.mark.parametrize(
    "written",
    [
        "2031-03-13", "20310313", "2031/3/13", "2031.03.13", "13.3.2031", "13/03/2031", "3/13/2031", "13-3-2031",
        "13 March 2031", "13 Mar 2031", "13th of March 2031", "March 13, 2031", "mar. 13th 2031", "13. March 2031",
    ],
)  # fmt: skip
def test_a_date_that_can_be_one_day_alone(written: str) -> None:
    bout, problems = read(f"date: {written}")
    assert problems == []
    assert bout.date == datetime.date(2031, 3, 13)


def test_a_date_with_one_number_twice() -> None:
    assert read("date: 3.3.2031")[0].date == datetime.date(2031, 3, 3)


def test_files_and_names_alone() -> None:
    bout, problems = read(
        "media: x.mp4\nrecordings: {talk: talk.mp4}\nsources: talk.vtt\n"
        "red: Ines Corvale\nblue: Rika Brandaal (southpaw)\n"
    )
    assert problems == []
    assert bout.footage is not None
    assert (bout.footage.file, bout.recordings["talk"].file) == ("x.mp4", "talk.mp4")
    assert bout.sources == (Source(file="bouts/2031/talk.vtt", kind="transcript"),)
    assert bout.red == Fighter(id="corvale", name="Ines Corvale")
    assert bout.blue == Fighter(id="brandaal", name="Rika Brandaal", stance="southpaw")


def test_what_is_wrong_costs_nothing_else() -> None:
    bout, problems = read(
        'bout: b\ndate: soon\nrounds: {count: x, length: "2:00", clock: up}\n'
        'media: {rate: x, bells: {1: "4:00", 2: "3:00", 3: "10:00"}}\nanalyst: mk\n'
    )
    assert len(problems) == 4
    assert bout.rounds == RoundFormat(None, Fraction(120), Fraction(60), "up")
    assert {number: bell.time for number, bell in bout.bells.items() if not bell.inferred} == {1: 240, 3: 600}
    assert bout.analyst == "mk"


def test_broken_yaml_loses_only_the_key_that_is_broken() -> None:
    bout, problems = read("bout: b\nred: {name: A B\nblue: {name: C D}\ntitle: 'open\nanalyst: mk\n")
    assert [(problem.line, problem.expected) for problem in problems] == [(2, "YAML 1.2"), (4, "YAML 1.2")]
    assert (bout.id, bout.red, bout.analyst) == ("b", None, "mk")
    assert bout.blue == Fighter(id="d", name="C D")


MANY = "".join(f"{name}: &{name} [{f'*{before}, ' * 300}]\n" for before, name in (("a", "b"), ("b", "c")))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[" * 800, "too deep"),
        ("a: &a [*a]", "over 40 levels"),
        ("a: &a {x: 1}\n" + MANY, "undefined alias"),
        ("a: \x07", "character U+0007"),
        ("a: [1\n\tb: 2", "broken YAML"),
    ],
)
def test_hostile_yaml(text: str, found: str) -> None:
    reporter = Reporter("x.yaml")
    read_yaml(text, reporter)
    assert any(found in problem.found for problem in reporter.problems)


def test_a_long_file_may_hold_many_values(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fightnotes.reading.placed_yaml._MOST", 10)
    many = "a: [" + "x, " * 100 + "x]"
    for text, refused in ((many, False), (f"{many.replace('a:', 'a: &a')}\nb: [*a, *a, *a, *a]", True)):
        reporter = Reporter("x.yaml")
        read_yaml(text, reporter)
        assert bool(reporter.problems) is refused


def test_unicode_line_ends_do_not_shift_the_places() -> None:
    _, problems = read('title: "a\u2028b"\nboat: x')
    assert [(problem.line, problem.column) for problem in problems] == [(2, 1)]


LIBRARY = Settings(
    rounds=RoundFormat(None, Fraction(120), Fraction(60), "up"),
    fighters=(
        Fighter(id="ljungskar", name="Tove Ljungskär", also=("Tove",), misheard=("young scar",), stance="orthodox"),
        Fighter(id="corvale", name="Ines Corvale", also=("Ines",)),
    ),
)


def test_rounds_take_from_the_library_what_the_bout_does_not_say() -> None:
    assert read("rounds: {count: 8}", LIBRARY)[0].rounds == RoundFormat(8, Fraction(120), Fraction(60), "up")
    assert read("bout: x", LIBRARY)[0].rounds == LIBRARY.rounds


@pytest.mark.parametrize(
    ("red", "expected"),
    [
        ("Ines", LIBRARY.fighters[1]),
        ("corvale", LIBRARY.fighters[1]),
        ("Tove Ljungskar", LIBRARY.fighters[0]),
        ("{name: Tove Ljungskär}", LIBRARY.fighters[0]),
        ("{id: ljungskar, stance: switch}", LIBRARY.fighters[0].model_copy(update={"stance": "switch"})),
        ("{name: Ines Corvale, also: [Vale]}", LIBRARY.fighters[1].model_copy(update={"also": ("Vale", "Ines")})),
        ("Tove, southpaw", LIBRARY.fighters[0].model_copy(update={"stance": "southpaw"})),
        ("Nobody Known", Fighter(id="known", name="Nobody Known")),
        ("{name: Nora O'Shea-Lind}", Fighter(id="oshea-lind", name="Nora O'Shea-Lind")),
        ("{name: 風堀 澪}", Fighter(id="澪", name="風堀 澪")),
    ],
)
def test_fighters_are_joined_with_the_library(red: str, expected: Fighter) -> None:
    bout, problems = read(f"red: {red}", LIBRARY)
    assert problems == []
    assert bout.red == expected


@pytest.mark.parametrize(
    ("written", "fighter"),
    [
        ("tavrel", "tavrel"),
        ("TAVREL", "tavrel"),
        ("Ana-Tavrel", "tavrel"),
        ("red", "tavrel"),
        ("Blue", "bea"),
        ("bea_orzh", "bea"),
        ("nobody", None),
        ("", None),
        ("twin", None),
    ],
)
def test_a_written_form_names_one_fighter(written: str, fighter: str | None) -> None:
    bout, _ = read("red: {name: Ana Tavrel, also: [Twin]}\nblue: {id: bea, name: Bea Orzh, also: [Twin]}")
    assert find_fighter(bout, written) == fighter


def test_every_key_of_the_library_file() -> None:
    settings, problems = read_settings(
        "title: Mine\nrounds: {length: '2:00'}\nhandles: {before: 1.5, after: '0:03'}\nmedia_roots: [a, b]\n"
        "default_length: 8\noutcomes: [Slipped Past, landed]\nfighters: [{name: Ines Corvale}]\nmodel: small\n"
        "audit: {unused: [a, {b: c}]}\n",
        "library.yaml",
    )
    assert problems == ()
    assert settings.title == "Mine"
    assert settings.rounds == RoundFormat(None, Fraction(120), Fraction(60), "down")
    assert (settings.handles.before, settings.handles.after) == (Fraction(3, 2), 3)
    assert settings.media_roots == ("a", "b")
    assert settings.default_length == 8
    assert settings.outcomes == (*OUTCOMES, "slipped-past")
    assert settings.fighters == (Fighter(id="corvale", name="Ines Corvale"),)
    assert settings.model == "small"
    assert settings.audit == {"unused": ["a", {"b": "c"}]}


@pytest.mark.parametrize(
    ("text", "line", "column", "expected"),
    [
        ("titel: x", 1, 1, "one of title"),
        ("- x", 1, 1, "a mapping with title"),
        ("default_length: 0", 1, 17, "above zero"),
        ("default_length: 1e999999999", 1, 17, "above zero"),
        ("handles: {before: -1}", 1, 19, "seconds, such as"),
        ("handles: {within: 1}", 1, 11, "one of before, after"),
        ("audit: strict", 1, 8, "a mapping"),
        ("fighters:\n  - {name: A B}\n  - {name: C B}", 3, 5, "one entry for 'b'"),
        ("media_roots: {a: b}", 1, 14, "a list"),
    ],
)
def test_a_complaint_about_the_library_file(text: str, line: int, column: int, expected: str) -> None:
    settings, problems = read_settings(text, "library.yaml")
    assert len(problems) == 1, problems
    assert (problems[0].line, problems[0].column) == (line, column)
    assert expected in problems[0].expected
    assert settings.default_length == Settings().default_length
