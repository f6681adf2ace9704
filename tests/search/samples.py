"""A library of three invented bouts, small enough to know by heart, for the tests of finding."""
# ruff: noqa: E501  a note's line is as long as an analyst writes it

from __future__ import annotations

SETTINGS = """\
title: Three bouts
fighters:
  - {id: corvale, name: Ines Corvale, also: [Corvale, Ines], misheard: [core vale], stance: southpaw}
  - {id: brandaal, name: Rika Brandaal, stance: orthodox}
  - {id: kazehori, name: Mio Kazehori, also: [風堀 澪], stance: southpaw}
  - {id: iturbena, name: Nicolás Iturbeña, stance: orthodox}
"""
VOCABULARY = """\
concepts:
  - {id: footwork, label: footwork, definition: Any deliberate placing of the feet.}
  - id: outside-step
    label: outside step
    also: [outside foot position]
    misheard: [outside stab]
    broader: footwork
    definition: The lead foot is placed outside the opponent's lead foot.
  - {id: pivot, label: pivot, broader: footwork, definition: A turn on the lead foot.}
  - id: open-guard-bait
    label: open-guard bait
    also: [baiting with an open guard, hands-down invitation]
    definition: The guard is opened on purpose so that the opponent attacks.
  - {id: body-hook, label: body hook, definition: A hook to the body.}
  - {id: over-the-top-counter, label: over-the-top counter, definition: A counter over the opponent's arm.}
  - {id: jab, label: jab, definition: A straight punch with the lead hand.}
"""
FIRST = """\
---
bout: corvale-brandaal-2031
title: Corvale v Brandaal
date: 2031-03-08
rounds: {count: 3, length: "2:00", rest: "1:00", clock: down}
red: {name: Ines Corvale, stance: southpaw}
blue: {name: Rika Brandaal, stance: orthodox}
media: {file: media/first bout.mp4, rate: 25, bells: {1: "0:10", 2: "3:10", 3: "6:10"}}
recordings: {breakdown: {file: media/talk.mp4, rate: 25, align: [["0:10", "0:30"], ["0:40", "1:00"]]}}
sources:
  - {file: ../transcripts/talk.vtt, kind: transcript, analyst: mk, timed_on: breakdown}
  - {file: ../second/first-dv.md, kind: notes, analyst: dv}
analyst: mk
---
Before the bout both were asked about the tape.

- 0:05 They walk to the ring, nothing yet.
## Round 1
- R1 1:50-1:45 Corvale plants the lead foot outside and the left hand follows. #outside-step by:corvale on:brandaal target:head outcome:landed
- R1 1:20 Brandaal lifts both gloves to draw the counter; Corvale refuses. #open-guard-bait by:brandaal outcome:ignored
- R1 0:40 Corvale hooks the body, Brandaal answers over the top. #body-hook(by:corvale target:body outcome:blocked) #over-the-top-counter(by:brandaal target:head outcome:landed)
- 2:30 On the stool the corner asks for more jabs.
## Round 2
- R2 1:00 Corvale turns out of the corner on the lead foot. #pivot by:corvale outcome:worked
- R2 0:30 Brandaal expected the jab and leaned away from nothing.
## Round 3
- R3 1:30 Corvale steps outside again and does not throw. #outside-step by:corvale outcome:missed
- 8:30 The referee raises an arm, they embrace.
"""
SECOND_LOOK = """\
- R1 1:49 Foot outside from Corvale, left hand on the chin. #outside-step by:corvale outcome:landed
- R2 0:10 Brandaal keeps her feet under her and moves. #footwork by:brandaal outcome:worked
"""
SPEECH = """\
WEBVTT

00:15.000 --> 00:19.000
so core vale takes the outside foot position and the left hand goes straight in

00:50.000 --> 00:54.000
and brand new gloves by the way that is all i have to say about the second half
"""
SECOND = """\
---
bout: brandaal-iturbena-2030
title: Brandaal v Iturbeña
date: 2030-06-01
rounds: {count: 2, length: "3:00", rest: "1:00", clock: down}
red: {name: Rika Brandaal, stance: orthodox}
blue: {name: Nicolás Iturbeña, stance: orthodox}
analyst: dv
---
- R1 2:00 Iturbeña's jab to the belt line, short. #jab by:iturbena on:brandaal target:body outcome:missed
- R2 1:10-1:00 Brandaal offers the chin with her hands down, Iturbeña bites and pays. #open-guard-bait by:brandaal on:iturbena outcome:worked
"""
THIRD = """\
---
bout: kazehori-corvale-2029
title: Kazehori v Corvale
date: 2029-11-20
rounds: {count: 2, length: "3:00", rest: "1:00", clock: up}
red: {name: Mio Kazehori, stance: southpaw}
blue: {name: Ines Corvale, stance: southpaw}
media: {file: media/third.mp4, rate: 30000/1001, bells: {1: "0:20"}}
analyst: dv
---
- R1 0:30 Kazehori waits with a low guard and Corvale takes the bait. #open-guard-bait by:kazehori on:corvale outcome:worked
- R2 1:00 Corvale jabs and jabs, nothing comes back. #jab by:corvale on:kazehori target:head outcome:landed
- R2 2:00 風堀 ducks under and clinches. #clinch
"""
LIBRARY = {
    "library.yaml": SETTINGS,
    "vocabulary.yaml": VOCABULARY,
    "bouts/first.md": FIRST,
    "bouts/second.md": SECOND,
    "bouts/third.md": THIRD,
    "second/first-dv.md": SECOND_LOOK,
    "transcripts/talk.vtt": SPEECH,
}
PLACES = {
    "walk": "bouts/first.md:17",
    "outside landed": "bouts/first.md:19",
    "bait refused": "bouts/first.md:20",
    "hook and counter": "bouts/first.md:21",
    "stool": "bouts/first.md:22",
    "pivot": "bouts/first.md:24",
    "expected jab": "bouts/first.md:25",
    "outside missed": "bouts/first.md:27",
    "referee": "bouts/first.md:28",
    "outside, dv": "second/first-dv.md:1",
    "feet, dv": "second/first-dv.md:2",
    "speech": "transcripts/talk.vtt:4",
    "gloves": "transcripts/talk.vtt:7",
    "jab to the body": "bouts/second.md:10",
    "bait worked": "bouts/second.md:11",
    "bait taken": "bouts/third.md:11",
    "jabs landed": "bouts/third.md:12",
    "clinch": "bouts/third.md:13",
}
"""A short name of each timed note or speech, and where it stands."""
NAMES = {place: name for name, place in PLACES.items()}
