"""Libraries of which every chain was counted by hand; all people and bouts are invented."""

from __future__ import annotations

VOCABULARY = """\
concepts:
- {id: footwork, label: footwork}
- {id: deep-step, label: deep step, broader: footwork}
- {id: side-step, label: side step, broader: footwork}
- {id: level-change, label: level change}
- {id: straight-right, label: straight right, also: [right straight]}
- {id: check-hook, label: check hook}
- {id: jab, label: jab}
"""
HEAD = """\
---
bout: {bout}
date: 2031-03-0{day}
rounds: {{count: {rounds}, length: "3:00", rest: "1:00", clock: down}}
red: {{name: Ada Quell, stance: orthodox}}
blue: {{name: Bo Marvane, stance: orthodox}}
analyst: mk
{more}---
"""
CHAINS = (
    HEAD.format(
        bout="chains", day=1, rounds=5, more="sources:\n  - {file: ../second/chains.md, kind: notes, analyst: dv}\n"
    )
    + """\
## Round 1
- R1 2:50 The level changes. #level-change by:quell
- R1 2:48 A long step. #deep-step by:quell
- R1 2:45 The right. #straight-right by:quell outcome:knockdown
- R1 1:00 The level changes. #level-change by:quell
- R1 0:57 A step aside. #side-step by:quell
- R1 0:55 Marvane's right. #straight-right by:marvane outcome:missed

## Round 2
- R2 2:30 All in one: down, in, and over. #level-change #deep-step #straight-right by:quell outcome:landed
- R2 1:30 The level changes, and nothing comes of it. #level-change by:quell
- R2 1:15 Late. #straight-right by:quell outcome:blocked
- R2 0:30 Quell jabs, Marvane hooks. #jab(by:quell outcome:missed) #check-hook(by:marvane outcome:landed)
- R2 0:02 The level changes at the bell. #level-change by:quell

## Round 3
- R3 2:59 The right, first thing. #straight-right by:quell
- R3 1:00 A right, no tag. by:quell outcome:landed

## Round 5
- R5 2:00 The jab, and nobody says whose. #jab
- R5 1:58 The hook. #check-hook by:marvane outcome:knockdown

## Afterwards
- The level change set it all up. #level-change by:quell
"""
)
SECOND_LOOK = """\
- R1 2:50 Down he goes in the knees. #level-change by:quell
- R1 2:45 And the right hand. #straight-right by:quell
"""
LIBRARY = {"vocabulary.yaml": VOCABULARY, "bouts/chains.md": CHAINS, "second/chains.md": SECOND_LOOK}

KINDS = ("level-change", "straight-right", "check-hook", "jab", "side-step")


def planted(bout: str = "planted", rounds: int = 6, answers: str = "quell") -> str:
    """Acts 4 s apart, the kinds in an order that never repeats a pair more than others, but for this: each of the six
    deep steps of a round is followed at once by a check hook of the fighter who `answers`."""
    lines = [HEAD.format(bout=bout, day=2, rounds=rounds, more="")]
    for number in range(1, rounds + 1):
        clock = 178
        for turn in range(6):
            kinds = [KINDS[(turn * (step + 1) + number + step) % 5] for step in range(4)]
            kinds[turn % 4 : turn % 4] = ["deep-step", "check-hook"]
            for kind in kinds:
                follows = kind == "check-hook" and lines[-1].count("#deep-step")
                who = answers if follows else "quell"
                lines.append(f"- R{number} {clock // 60}:{clock % 60:02} Seen. #{kind} by:{who}\n")
                clock -= 4
    return "".join(lines)


HOSTILE = """\
concepts:
- {id: step, label: "a step <b> & \\"so\\" on, told in far more words than any telephone is wide"}
- {id: hit, label: "\\u202ekcatta\\u0007 \\uffff"}
- {id: long, label: mmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmm}
- {id: strike, label: 打撃の連続とても長い名前の技術打撃の連続とても長い名前の技術}
"""


def crowded() -> str:
    """15 rounds, of which R4 and R9 are not noted and R2 has 60 moments; a knockdown a round."""
    lines = [HEAD.format(bout="crowded", day=3, rounds=15, more='title: "A <title> & more"\n')]
    for number in range(1, 16):
        for place in range(0 if number in (4, 9) else 60 if number == 2 else 4):
            clock = 175 - place * 2.9
            outcome = "knockdown" if place == 3 else "landed"
            concept = ("step", "hit", "long", "strike")[place % 4]
            who = ("quell", "marvane")[place // 2 % 2]
            time = f"{int(clock) // 60}:{int(clock) % 60:02}"
            lines.append(f"- R{number} {time} Seen. #{concept} by:{who} outcome:{outcome}\n")
    return "".join(lines)
