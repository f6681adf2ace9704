"""A small library whose acts were counted by hand; all people and bouts are invented."""

from __future__ import annotations

VOCABULARY = """\
concepts:
- {id: footwork, label: footwork}
- {id: inside-step, label: inside step, also: [lead foot inside], broader: footwork}
- {id: outside-step, label: outside step, broader: footwork}
- {id: jab, label: jab}
- {id: clinch, label: clinch}
"""
FIRST = """\
---
bout: quell-marvane
date: 2031-03-08
rounds: {count: 4, length: "2:00", rest: "1:00", clock: down}
red: {name: Ada Quell, stance: southpaw}
blue: {name: Bo Marvane, stance: orthodox}
media: {file: a.mp4, rate: 25, bells: {1: "0:01:00"}}
sources:
  - {file: ../second/a.md, kind: notes, analyst: dv}
  - {file: ../second/a.vtt, kind: transcript, analyst: mk}
analyst: mk
---
## Round 1
- R1 1:50 Quell goes inside. #inside-step by:quell outcome:landed
- R1 1:30 Quell plants the foot outside and waits. #outside-step by:quell outcome:missed
- R1 1:00 They tie up. #clinch by:quell by:marvane
- R1 0:30 Both jab. #jab(by:quell outcome:landed) #jab(by:marvane outcome:missed)

## Round 3
- R3 1:50 Inside once more. #inside-step by:quell outcome:partial
- R3 1:00 Marvane turns round. stance:marvane=southpaw
- R3 0:50 And inside. #inside-step by:quell on:marvane

## After the bell
- Quell lives off the inside step. #inside-step by:quell
"""
SECOND_LOOK = """\
## Round 1
- R1 1:51 Her feet. #footwork by:quell
- R1 1:28 Quell plants the foot outside and waits. #outside-step by:quell outcome:landed
- R1 0:30 The jab. #jab by:quell

## Round 3
- R3 0:10 One jab, and it is over. #jab by:marvane outcome:stoppage
"""
TALK = """\
WEBVTT

00:01:10.000 --> 00:01:12.000
Quell goes inside and lands the inside step.
"""
WITHOUT_ROUNDS = """\
---
bout: quell-oduro
date: 2032-01-10
red: {name: Ada Quell}
blue: {name: Kit Oduro}
media: {file: b.mp4, rate: 25}
analyst: mk
---
- 0:10 Jab. #jab by:quell outcome:landed
- 0:20 Words alone, Quell likes it.
- 0:30 by:oduro outcome:missed
"""
LIBRARY = {
    "vocabulary.yaml": VOCABULARY,
    "bouts/a.md": FIRST,
    "second/a.md": SECOND_LOOK,
    "second/a.vtt": TALK,
    "bouts/b.md": WITHOUT_ROUNDS,
}

RISING = (0, 1, 1, 2, 4, 5, 6, 8)
"""Inside steps in each round of a bout that `trending` makes."""


def trending(steps: tuple[int, ...] = RISING, bout: str = "rise", date: str = "2031-01-01", who: str = "quell") -> str:
    """A bout with so many inside steps in each round, 6 s apart, every other one landed, and a note in every round."""
    lines = [
        "---",
        f"bout: {bout}",
        f"date: {date}",
        f'rounds: {{count: {len(steps)}, length: "3:00", rest: "1:00", clock: down}}',
        "red: {name: Ada Quell, stance: orthodox}",
        "blue: {name: Bo Marvane, stance: orthodox}",
        "analyst: mk",
        "---",
    ]
    for number, count in enumerate(steps, start=1):
        lines.append(f"- R{number} 2:59 The bell.")
        for place in range(count):
            clock = 170 - 6 * place
            outcome = ("landed", "missed")[place % 2]
            lines.append(f"- R{number} {clock // 60}:{clock % 60:02} Inside. #inside-step by:{who} outcome:{outcome}")
    return "\n".join(lines) + "\n"
