"""A small library to cut from, and how a cut list in JSON is read."""

from __future__ import annotations

import json

from typer.testing import Result

MATTER = """\
---
bout: {id}
title: {title}
date: {date}
rounds: {{count: 2, length: "0:15", rest: "0:05", clock: down}}
red: {{name: Ines Corvale, stance: southpaw}}
blue: {{name: Rika Brandaal, stance: orthodox}}
{media}
---
"""
FIRST = (
    MATTER.format(
        id="first",
        title="Corvale v Brandaal",
        date="2031-03-08",
        media='media: {file: media/first.mp4, rate: 25, bells: {1: "0:01", 2: "0:21"}}',
    )
    + """\
## Round 1
- R1 0:10-0:09 Corvale plants the lead foot outside, throws the left straight. #outside-step by:corvale outcome:landed
- R1 0:04-0:03 Brandaal lifts both gloves to draw the counter; no reply. #open-guard-bait by:brandaal outcome:ignored
## Round 2
- R2 0:08-0:07 Corvale steps outside again, left to the body this time. #outside-step by:corvale outcome:blocked
"""
)
GONE = (
    MATTER.format(
        id="gone",
        title="Brandaal v Corvale II",
        date="2032-01-10",
        media='media: {file: media/gone.mp4, rate: 25, bells: {1: "0:01"}}',
    )
    + "## Round 1\n- R1 0:12-0:11 The outside step once more, and Corvale is hit for it. #outside-step by:corvale\n"
)
CLOCKLESS = MATTER.format(id="clockless", title="Corvale v Brandaal III", date="2032-06-01", media="") + (
    "## Round 2\n- R2 0:03 A last outside step before the bell. #outside-step by:corvale\n"
)
VOCABULARY = """\
concepts:
  - {id: outside-step, label: outside step, definition: the lead foot is planted outside the other lead foot}
  - {id: open-guard-bait, label: open guard bait, definition: gloves are lifted away to draw a counter}
"""
STEPS = ["bouts/first.md:11", "bouts/first.md:14", "bouts/gone.md:11"]


def cuts_of(result: Result) -> list[tuple[str, int, int]]:
    cuts = json.loads(result.stdout)["cuts"]
    return [(" ".join(cut["notes"]), cut["in_frame"], cut["out_frame_exclusive"]) for cut in cuts]
