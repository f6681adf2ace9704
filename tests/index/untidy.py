"""A library of what a store may meet and nobody plans for; all people and bouts are invented."""

from __future__ import annotations

HEAD = """\
---
bout: {bout}
red: {{name: Ada Quell, stance: southpaw}}
blue: {{name: "Bo O'Marvane", stance: orthodox}}
date: {date}
analyst: {analyst}
---
"""
_ODD = [
    "Le café s’ouvre: coup de pied, naïveté, ÀÉÎ, ｆｕｌｌ ｗｉｄｔｈ, ﬁne",
    "Decomposed cafe\u0301 and n\u0303 beside café",
    "İstanbul ẞtraße GROẞ ſtep ǆ",
    "右ストレート lead foot 左フック",
    "emoji 🥊🥊 jab👊🏽 jab and a zero\u200bwidth space, an Ara\u0301bic \u0627\u0644\u062d\u0644\u0628\u0629",
    "'single' \"double\" “curly” ‘inner’ `tick` $$dollar$$ %s %(x)s ? ; -- /* */ \\' {} {0}",
    "Robert'); DROP TABLE segments; --",
    "NEAR(lead foot, 3) AND OR NOT lead* ^foot text:lead",
    "Quell's lead-foot isn't O'Marvane's; don't, won't, it's",
    "lead\u0000foot with a NUL\u0000 in it",
    "steps stepping stepped step's STEP Step",
    "lead foot. foot lead. lead the foot. lead of the front foot. outside foot lead",
    "٣ rounds, ½ step, x² and Ⅳ, 1,000.5",
    "a\tb\u00a0c\u2028d",
    "jab jab jab jab jab jab jab",
    "\u1e9e\u0130\ua7ae\u2c2f\U0001e900\U00010400 letters of later Unicodes \u1c90\u10d0",
    "supercalifragilistic" * 200,
    "the the the a of and",
]
_LONG = "The lead foot goes outside and the cross follows. " * 60
_VERY_LONG = " ".join(f"word{number % 977} lead foot{number % 13}" for number in range(20_000))

FILES = {
    "vocabulary.yaml": """\
concepts:
  - {id: outside-step, label: outside step, also: [outside foot lead, lead foot outside], definition: Foot outside.}
  - {id: low-guard, label: low guard, also: ["O'Marvane’s guard"], broader: outside-step}
  - {id: cafe-kick, label: café kick, related: [low-guard]}
""",
    "bouts/odd.md": HEAD.format(bout="odd-2030", date="2030-01-02", analyst="mk")
    + "".join(f"- 0:{10 + number:02} {text} #outside-step by:quell\n" for number, text in enumerate(_ODD)),
    "bouts/long.md": HEAD.format(bout="long-2031", date="2031-05-06", analyst="Ö’x")
    + f"- 0:10 {_LONG} #cafe-kick on:quell outcome:landed target:head\n- 1:10 {_VERY_LONG}\n"
    + "- 2:10 #low-guard by:quell\n- 2:20 #low-guard #café-kick by:quell outcome:landed\n- 2:30 #some-unknown-tag\n",
    "bouts/same.md": HEAD.format(bout="same-id", date="2029-01-01", analyst="mk") + "- 0:10 jab jab #low-guard\n",
    "bouts/same too.md": HEAD.format(bout="same-id", date="2029-01-01", analyst="mk") + "- 0:10 never shown\n",
    "bouts/undated ü.md": "---\nbout: undated\nred: {name: Ada Quell}\nblue: {name: Kit Oduro}\n---\n"
    "- R1 0:10 jab jab\n- R2 0:10 jab jab by:nobody\n- R3 1:00 the lead foot outside, stance:quell=southpaw\n"
    "\nUntimed text.\n",
    "bouts/broken.md": "---\nbout: [\n---\n- 0:10 lost\n",
}
