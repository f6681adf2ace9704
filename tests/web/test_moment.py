"""The page of a moment in Chromium, with a film whose every frame shows its number (`tests/cut_samples.py`)."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fightnotes.clock import (
    Alignment,
    Bell,
    RoundFormat,
    format_media_time,
    format_timecode,
    frame_at,
    parse_media_time,
    placement_of,
    timecode_of,
)
from fightnotes.library import open_library
from tests.cut_samples import BITS, make_footage
from tests.web.conftest import Served, faults_for_readers, served

RATE = Fraction(30000, 1001)
FIRST = 57 * 30
"""`start` in frames: the film runs over a minute that drops two labels."""
BOUT = """---
bout: film
title: Corvale v Brandaal
date: 2031-03-08
rounds: {count: 2, length: "0:03", rest: "0:01", clock: down}
red: {name: Ines Corvale, stance: southpaw}
blue: {name: Rika Brandaal, stance: orthodox, misheard: [brand all]}
media: {file: film.mp4, rate: 30000/1001, drop_frame: true, start: "00:00:57;00", bells: {1: "0:02"}}
recordings: {breakdown: {file: talk.mp4, rate: 25, align: [["0:01", "0:02"], ["0:03", "0:06"]]}}
sources:
  - {file: ../transcripts/over.vtt, kind: transcript, analyst: mk}
  - {file: ../transcripts/talk.vtt, kind: transcript, analyst: dv, timed_on: breakdown}
analyst: mk
---
## Round 1
- 0:01 Corvale waits.
- 0:02.5 Corvale jabs. #jab by:corvale outcome:missed
- 0:03-0:04 Corvale steps outside, then the left. #outside-step(by:corvale) #cross(by:corvale outcome:landed)
- 0:04.5 Brandaal resets.
- 0:07 Brandaal's right hand lands on Corvale.

Nothing here has a time.
"""
LOST = """---
bout: lost
rounds: {count: 2, length: "3:00", rest: "1:00", clock: down}
---
- R1 2:50 First.
- R1 2:10 Second.
- R2 2:59 Third.
"""
SHORT = """---
bout: short
media: {file: film.mp4, rate: 30000/1001}
---
- 0:09 While it runs.
- 0:30-0:33 After its end.
"""
VTT = "WEBVTT\n\n00:03.200 --> 00:04.000\nthere brand all takes one\n\n00:05.000 --> 00:06.000\nand she goes back\n"
TALK = "WEBVTT\n\n00:01.500 --> 00:02.500\nlook at the step here\n"
FILM = "document.getElementById('recording')"
MOMENT, LINE = "bouts/film.md", 18


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Iterator[Served]:
    root = tmp_path_factory.mktemp("film") / "library"
    files = {
        "library.yaml": f"model: {small_model}\n",
        "vocabulary.yaml": "concepts:\n- {id: jab, label: jab}\n- {id: cross, label: cross}\n",
        "bouts/film.md": BOUT,
        "bouts/lost.md": LOST,
        "bouts/short.md": SHORT,
        "transcripts/over.vtt": VTT,
        "transcripts/talk.vtt": TALK,
    }
    for name, text in files.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text)
    make_footage(root / "film.mp4", "30000/1001", 300, sound=False)
    (root / "talk.mp4").write_bytes(b"\0no film at all")
    with served(root) as running:
        yield running


def address(film: Served, line: int = LINE, more: str = "") -> str:
    return f"{film.address}/moment?at={MOMENT}:{line}{more}"


def opened(tab: Page, url: str) -> Page:
    """The page, its film standing at the moment."""
    tab.goto(url)
    expect(tab.locator("#controls")).to_be_visible()
    settled(tab)
    return tab


def settled(tab: Page) -> None:
    tab.wait_for_function(f"() => {FILM}.readyState > 1 && !{FILM}.seeking")


def frame_seen(tab: Page) -> int:
    """The number that the picture itself shows."""
    return int(
        tab.evaluate(
            """(bits) => {
                const film = document.getElementById("recording");
                const canvas = new OffscreenCanvas(192, 108);
                const pen = canvas.getContext("2d");
                pen.drawImage(film, 0, 0, 192, 108);
                const light = (bit) => pen.getImageData(Math.floor((bit + 0.5) * 192 / bits), 54, 1, 1).data[0] > 125;
                return [...Array(bits).keys()].reduce((sum, bit) => sum + (light(bit) ? 2 ** bit : 0), 0);
            }""",
            BITS,
        )
    )


def shown(tab: Page) -> tuple[str, str, str]:
    return tuple(tab.locator(f"#{name}").inner_text() for name in ("timecode", "media-time", "round-clock"))  # type: ignore[return-value]


def told(frame: int) -> tuple[str, str]:
    """Timecode and round clock of a frame of the film, as `clock/` has them."""
    fmt = RoundFormat(count=2, length=Fraction(3), rest=Fraction(1), clock="down")
    bells = {1: Bell(Fraction(2), inferred=False), 2: Bell(Fraction(6), inferred=True)}
    return format_timecode(timecode_of(FIRST + frame, RATE, True)), clock_text(frame / RATE, bells, fmt)


def clock_text(seconds: Fraction, bells: dict[int, Bell], fmt: RoundFormat) -> str:
    placed = placement_of(seconds, bells, fmt)
    if placed is None:
        return ""
    if placed.clock is not None:
        return f"R{placed.round} {format_media_time(placed.clock, 2)}"
    words = {"before": "before the first bell", "rest": f"rest after R{placed.round}"}
    return words.get(placed.period, f"after R{placed.round}, the last")


def test_the_page_tells_the_moment(film: Served, tab: Page) -> None:
    tab.goto(address(film))
    assert tab.locator("h1").inner_text() == "R1 0:02-0:01, 0:03-0:04"
    assert tab.locator(".acts li").all_inner_texts() == [
        "#outside-step by:corvale",
        "#cross by:corvale outcome:landed",
    ]
    assert tab.locator(".times .place").all_inner_texts() == [
        "R1 0:02-0:01",
        "0:03-0:04",
        "00:00:59;29-00:01:01;01",
        "film.mp4#t=3,4",
        "bouts/film.md:18",
    ]
    assert tab.get_by_role("link", name="Corvale v Brandaal").get_attribute("href") == "/bout?id=film"
    assert tab.locator("section[aria-labelledby=before-head] li").all_inner_texts() == [
        "before the first bell, 0:01-0:02 Corvale waits.",
        "R1 0:02.5, 0:02.5-0:03 Corvale jabs.",
    ]
    assert len(tab.locator("section[aria-labelledby=after-head] li").all()) == 2
    assert tab.locator(".said a").all_inner_texts() == ["0:02 of the breakdown", "0:03", "0:05"]


def test_what_was_put_right_and_what_nobody_wrote_are_told_apart(film: Served, tab: Page) -> None:
    tab.goto(f"{film.address}/moment?at=transcripts/over.vtt:4")
    assert tab.get_by_text("Put right").inner_text() == "Put right: Brandaal (heard “brand all”)"
    assert tab.locator(".acts").count() == 0
    tab.goto(address(film, 20))
    assert tab.get_by_text("nobody wrote").inner_text().startswith("The words tell, and nobody wrote: by:brandaal (0.")


def test_the_film_stands_at_the_moment_and_moves_by_frames(film: Served, tab: Page) -> None:
    opened(tab, address(film))
    assert tab.evaluate(f"{FILM}.currentTime") == pytest.approx(3, abs=0.5 / RATE)
    begin = frame_at(Fraction(3), RATE)
    tab.locator("[data-act=begin]").focus()
    at = begin
    for key, by in (("", 0), ("f", 1), ("f", 1), ("d", -1), ("g", 30), ("s", -30), ("d", -1), ("d", -1), ("b", 0)):
        if key:
            tab.keyboard.press(key)
            settled(tab)
        at = begin if key == "b" else at + by
        expect(tab.locator("#timecode")).to_have_text(told(at)[0])
        assert shown(tab)[2] == told(at)[1]
        assert frame_at(parse_media_time(shown(tab)[1]), RATE) == at
        assert frame_seen(tab) == at


def test_it_stays_within_the_film(film: Served, tab: Page) -> None:
    opened(tab, address(film, 20))
    tab.locator("[data-act=frame-on]").focus()
    for _ in range(5):
        tab.keyboard.press("g")
    settled(tab)
    assert frame_seen(tab) == 299
    expect(tab.locator("#timecode")).to_have_text(told(299)[0])
    for _ in range(11):
        tab.keyboard.press("s")
    settled(tab)
    assert frame_seen(tab) == 0


def test_repeating_slowing_and_playing_by_the_keyboard(film: Served, tab: Page) -> None:
    opened(tab, address(film))
    state = f"[{FILM}.paused, {FILM}.playbackRate]"
    tab.locator("[data-act=play]").focus()
    for key, rate in (("2", 0.5), ("4", 0.25), ("8", 0.125), ("1", 1)):
        tab.keyboard.press(key)
        assert tab.evaluate(state) == [True, rate]
    tab.evaluate(f"() => {{ window.returned = 0; {FILM}.addEventListener('seeking', () => window.returned++) }}")
    tab.keyboard.press("r")
    tab.wait_for_function("() => window.returned >= 2", timeout=8000)
    assert tab.evaluate(state) == [False, 1]
    assert 2.9 < tab.evaluate(f"{FILM}.currentTime") < 4.3
    tab.keyboard.press("r")
    tab.keyboard.press("p")
    assert tab.evaluate(state)[0]
    assert tab.locator("[data-act=repeat]").get_attribute("aria-pressed") == "false"


def test_keys_act_on_the_focused_part_alone(film: Served, tab: Page) -> None:
    opened(tab, address(film))
    before = shown(tab)
    tab.locator(".above a").focus()
    tab.keyboard.press("f")
    tab.locator("[data-act=frame-on]").focus()
    tab.keyboard.press("Control+f")
    assert shown(tab) == before


def test_talk_jumps_without_leaving_and_leads_on_without_script(film: Served, tab: Page) -> None:
    opened(tab, address(film))
    link = tab.locator(".said a").filter(has_text="0:05")
    assert link.get_attribute("href") == "/moment?at=transcripts/over.vtt%3A7"
    link.click()
    settled(tab)
    assert tab.url == address(film)
    assert frame_seen(tab) == frame_at(Fraction(5), RATE)


def test_times_are_copied(film: Served, tab: Page) -> None:
    tab.context.grant_permissions(["clipboard-read", "clipboard-write"])
    opened(tab, address(film))
    for name, text in (("Link", "film.mp4#t=3,4"), ("Timecode shown", "00:00:59;29")):
        tab.get_by_role("button", name=f"Copy: {name}", exact=True).click()
        expect(tab.get_by_text("copied", exact=True).first).to_be_visible()
        assert tab.evaluate("navigator.clipboard.readText()") == text


def test_a_file_that_ends_before_the_moment(film: Served, tab: Page) -> None:
    opened(tab, f"{film.address}/moment?at=bouts/short.md:6")
    expect(tab.get_by_role("alert")).to_contain_text("The file ends at 0:10.0")
    expect(tab.get_by_role("alert")).to_contain_text("before this moment, at 0:30.000")
    expect(tab.get_by_role("button", name="Repeat the moment")).to_be_disabled()
    opened(tab, f"{film.address}/moment?at=bouts/short.md:5")
    expect(tab.get_by_role("alert")).to_be_hidden()


def test_a_file_that_the_browser_cannot_play(film: Served, tab: Page) -> None:
    tab.goto(f"{film.address}/moment?at=transcripts/talk.vtt:4")
    expect(tab.get_by_role("alert")).to_contain_text("This browser cannot play the file")
    expect(tab.locator("#controls")).to_be_hidden()
    expect(tab.get_by_role("button", name="Copy: Media time (breakdown)")).to_be_visible()
    tab.get_by_role("link", name="on the footage").click()
    expect(tab.locator("#controls")).to_be_visible()
    settled(tab)
    assert frame_seen(tab) == frame_at(Fraction(3), RATE), "1.5 s of the breakdown, between its aligned pairs"


def test_without_script_the_film_has_its_fragment(film: Served, tab: Page) -> None:
    context = tab.context.browser
    assert context is not None
    plain = context.new_context(java_script_enabled=False).new_page()
    plain.goto(address(film))
    assert str(plain.locator("video").get_attribute("src")).endswith("&recording=footage#t=3,4")
    assert not plain.locator("#controls").is_visible()
    plain.context.close()


def test_a_moment_without_footage(film: Served, tab: Page) -> None:
    tab.goto(f"{film.address}/moment?at=bouts/lost.md:6")
    expect(tab.locator("#player")).to_contain_text("This note has no time on a recording.")
    assert tab.locator(".times .place").all_inner_texts() == ["R1 2:10", "bouts/lost.md:6"]
    assert tab.locator(".notes li").all_inner_texts() == ["R1 2:50 First.", "R2 2:59 Third."]


def test_axe_and_the_width_of_a_phone(film: Served, tab: Page) -> None:
    opened(tab, address(film))
    assert faults_for_readers(tab) == []
    tab.set_viewport_size({"width": 390, "height": 800})
    assert tab.evaluate("document.documentElement.scrollWidth") == 390


def test_a_place_where_nothing_stands(film: Served, tab: Page) -> None:
    for at, status in (("bouts/film.md:400", 404), ("bouts/none.md:1", 404), ("nowhere", 400)):
        answer = tab.goto(f"{film.address}/moment?at={at}")
        assert answer is not None
        assert answer.status == status


def test_what_stands_around_a_moment(film: Served) -> None:
    library = open_library(film.root)
    around = library.around(library.moment_at("transcripts/talk.vtt:4"))
    assert [one.segment.line for one in around.before] == [16, 17, 18]
    assert [one.segment.line for one in around.after] == [19, 20]
    assert [(one.place, one.start_on("footage")) for one in around.said] == [
        ("transcripts/talk.vtt:4", Fraction(3)),
        ("transcripts/over.vtt:4", Fraction("3.2")),
        ("transcripts/over.vtt:7", Fraction(5)),
    ]
    untimed = library.around(library.moment_at("bouts/film.md:22"))
    assert [one.segment.line for one in untimed.before] == [16, 17, 18, 19, 20]
    assert untimed.said == ()


RATES = (("24000/1001", False), ("25", False), ("30000/1001", True), ("30000/1001", False), ("60000/1001", True))
FRAMES = (0, 1, 1799, 1800, 1801, 3597, 3598, 17981, 17982, 17983, 107891, 2589407, 2589408, 5183999)


def test_the_script_counts_as_the_clock_does(film: Served, tab: Page) -> None:
    """Against `clock/`, which tests/outside holds against SMPTE ST 12-1."""
    tab.goto(address(film))
    fmt = RoundFormat(count=3, length=Fraction(180), rest=Fraction(60), clock="up")
    bells = {1: Bell(Fraction(1001, 30), False), 2: Bell(Fraction(250), False), 3: Bell(Fraction(600), False)}
    pairs = ((Fraction(1), Fraction(10)), (Fraction(3), Fraction(20)), (Fraction(4), Fraction(2000, 3)))
    align = Alignment(pairs)
    seconds = [Fraction(number, 7) for number in range(0, 6000, 61)] + [bell.time + 180 for bell in bells.values()]
    own = [0.5, 1, 1.5, 3, 3.5, 4, 4.5]
    counting = [
        {
            "rate": [Fraction(rate).numerator, Fraction(rate).denominator],
            "frames_a_second": round(Fraction(rate)),
            "drop_frame": drop,
            "first_frame": first,
        }
        for rate, drop in RATES
        for first in (0, 107892)
    ]
    answer = tab.evaluate(
        """async ({ counting, frames, bells, seconds, pairs, own }) => {
            const script = await import("/script/frames.js");
            const rounds = { bells, round_length: 180, clock: "up" };
            const of = (frame, told) => [
                script.timecode(frame, told),
                script.timeOfFrame(frame, told.rate),
                script.frameAt(script.middleOf(frame, told.rate), told.rate),
            ];
            return {
                counted: counting.map((told) => frames.map((frame) => of(frame, told))),
                clocks: seconds.map((second) => script.roundClock(second, rounds)),
                footage: own.map((second) => script.toFootage(second, pairs)),
            };
        }""",
        {
            "counting": counting,
            "frames": FRAMES,
            "bells": [[number, float(bell.time)] for number, bell in bells.items()],
            "seconds": [float(each) for each in seconds],
            "pairs": [[float(one), float(there)] for one, there in pairs],
            "own": own,
        },
    )
    for told_of, counted in zip(counting, answer["counted"], strict=True):
        rate = Fraction(*told_of["rate"])
        for frame, (label, time, middle) in zip(FRAMES, counted, strict=True):
            assert label == format_timecode(timecode_of(told_of["first_frame"] + frame, rate, told_of["drop_frame"]))
            assert frame_at(parse_media_time(time), rate) == frame == middle
    assert answer["clocks"] == [clock_text(each, bells, fmt) for each in seconds]
    expected = [align.to_footage(Fraction(each)) for each in own]
    assert answer["footage"] == [None if each is None else pytest.approx(float(each)) for each in expected]
