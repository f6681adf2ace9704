"""Small libraries whose figures are known by hand; all people and bouts are invented."""

from __future__ import annotations

from collections.abc import Sequence

VOCABULARY = """\
concepts:
- {id: footwork, label: footwork}
- {id: inside-step, label: inside step, also: [lead foot inside], broader: footwork}
- {id: jab, label: jab}
- {id: counter, label: counter}
- {id: range, label: range}
- {id: long-range, label: long range, broader: range}
"""
ANSWERED = (0, 0, 1, 1, 2, 3, 4, 4)
"""Of four inside steps in each round of `costing`, how many the other counters two seconds later: 15 of 32."""
STEPS = 4


def front(bout: str, rounds: int, red: str = "Ada Quell", blue: str = "Bo Marvane", date: str = "2031-01-01") -> str:
    return f"""\
---
bout: {bout}
title: {red.rsplit(maxsplit=1)[-1]} v {blue.rsplit(maxsplit=1)[-1]}
date: {date}
rounds: {{count: {rounds}, length: "3:00", rest: "1:00", clock: down}}
red: {{name: {red}, stance: orthodox}}
blue: {{name: {blue}, stance: southpaw}}
analyst: mk
---
"""


def clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02}"


def costing(answered: Sequence[int] = ANSWERED) -> str:
    """A bout in which the inside step stays as frequent, and is countered more and more."""
    lines = []
    for number, count in enumerate(answered, start=1):
        lines.append(f"- R{number} 2:59 The bell.")
        for place in range(STEPS):
            at = 170 - 40 * place
            lines.append(f"- R{number} {clock(at)} Quell goes inside. #inside-step by:quell outcome:worked")
            if place < count:
                lines.append(f"- R{number} {clock(at - 2)} Marvane comes over. #counter by:marvane outcome:landed")
    return front("costly", len(answered)) + "\n".join(lines) + "\n"


KINDS_OF_COST = (
    front("kinds", 1)
    + """\
- R1 2:50 Inside, answered at once. #inside-step by:quell
- R1 2:47 The counter. #counter by:marvane outcome:landed
- R1 2:30 Inside, and the answer comes late. #inside-step by:quell
- R1 2:22 Late. #counter by:marvane outcome:landed
- R1 2:00 Inside, and down in the next moment. #inside-step by:quell
- R1 1:50 Down goes Quell. #counter by:marvane outcome:knockdown
- R1 1:30 In one note. #inside-step(by:quell) #jab(by:marvane outcome:landed)
- R1 1:00 Inside, and the answer misses. #inside-step by:quell
- R1 0:58 Air. #counter by:marvane outcome:missed
- R1 0:30 Quell jabs from afar. #jab #long-range by:quell outcome:landed
"""
)
"""Three of five inside steps cost: at once, in the next moment, in the same note."""

ELSEWHERE = (
    front("elsewhere", 2, blue="Kit Oduro", date="2032-01-01")
    + "- R1 2:50 Quell jabs. #jab by:quell outcome:landed\n- R2 1:00 A miss. #jab by:quell outcome:missed\n"
)
WITHOUT_ROUNDS = """\
---
bout: loose
title: Quell v Tamber
red: {name: Ada Quell}
blue: {name: Ilo Tamber}
media: {file: c.mp4, rate: 25}
analyst: mk
---
""" + "".join(f"- 0:{10 + place} Quell goes inside. #inside-step by:quell\n" for place in range(0, 40, 4))


def library(**bouts: str) -> dict[str, str]:
    fighters = "fighters:\n- {id: silent, name: Uma Silent, stance: southpaw}\n"
    files = {f"bouts/{name}.md": text for name, text in bouts.items()}
    return {"vocabulary.yaml": VOCABULARY, "library.yaml": fighters, **files}
