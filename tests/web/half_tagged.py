"""A small library in which marks are suggested and a name was misheard."""

from __future__ import annotations

VOCABULARY = """concepts:
- {id: jab, label: jab}
- {id: cross, label: cross, also: [straight left]}
- {id: body-hook, label: body hook}
- {id: pivot, label: pivot}
"""
NOTES = """---
bout: quell-marvane
title: Quell v Marvane
date: 2031-03-08
rounds: {count: 3, length: "3:00", rest: "1:00", clock: down}
red: {name: Ada Quell, stance: southpaw}
blue: {name: Ilse Marvane, stance: orthodox}
media: {file: media/quell-marvane.mp4, rate: 25, bells: {1: "0:01:00", 2: "0:05:00"}}
sources:
- {file: ../transcripts/talk.vtt, kind: transcript}
---
## Round 1
- R1 2:50 Quell lands the jab. #jab by:quell on:marvane outcome:landed
- R1 2:40 Marvane jabs back. #jab by:marvane on:quell outcome:missed
- R1 2:20 Quell lands a body hook under the elbow.\x20\x20
- R1 2:00 Quell answers with the cross. by:quell
- R1 1:40 Marvane pivots off the rope.
## Round 2
- R2 2:30 Marvane drops Quell with the cross. #cross by:marvane on:quell outcome:knockdown
- R2 2:00 Quell holds on.
"""
TALK = """WEBVTT

00:01:12.000 --> 00:01:16.000
And Marvain jabs back at once, as she always does.

00:01:20.000 --> 00:01:25.000
Watch how Marvain turns her off the rope.
"""
HALF_TAGGED = {"vocabulary.yaml": VOCABULARY, "bouts/a.md": NOTES, "transcripts/talk.vtt": TALK}
