"""Sides and ways, parts of the body, and what is hit."""

from __future__ import annotations

import re

from fightnotes.language.english.content import DETERMINERS
from fightnotes.language.english.forms import any_of, words

HANDS = "left|right"
LEADS = "lead|rear"
SIDES = [*HANDS.split("|"), *LEADS.split("|"), "front", "back", "both"]
WAYS = words("up down over under off back forward through away out in around round")
OPPOSITES = (("inside", "outside"), ("lead", "rear"), ("high", "low"), ("open", "closed"), ("single", "double"))
LEAD_HAND = {"orthodox": "left", "southpaw": "right"}
"""By stance."""
LABEL_HAND = re.compile(rf"\b({LEADS})[- ](?:hook|straight|uppercut|jab|hand)\b", re.IGNORECASE)
DEFINED_HAND = re.compile(rf"\b({LEADS})-hand punch\b|\bwith the ({LEADS}) hand\b|^A ({LEADS}) hook\b", re.IGNORECASE)
"""The hand that punches, in a label and in a definition."""
EITHER_HAND = re.compile("hook|uppercut|counter|punch|shot")
"""In the name of a tag: a punch that either hand throws."""
PUNCH = re.compile(
    rf"\b({HANDS}) (?:hand|hook|uppercut|straight|cross|jab|punch|overhand)\b|\bstraight ({HANDS})\b"
    rf"|\b(?:the|a|long|looping|short|hard|real|big|stiff) ({HANDS})\b"
    r"(?=\s*(?:[,.;]|$|to|at|over|through|in|on|lands?|goes))"
    rf"|(?:^|[,.] )({HANDS})(?=[,.]| to the| over the| upstairs| lands?\b| landed| blocked| short| misse[sd])",
    re.IGNORECASE,
)
AVOIDED = re.compile(
    r"\b(?:beneath|under|past|from|off|over|not|outside|inside|round|away from|against|waits? for"
    r"|expect\w*)\s+(?:the|a|that)?\s*$",
    re.IGNORECASE,
)
"""Before the hand of the opponent, who may go unnamed."""

PARTS_HIT = {
    "head": "head chin face jaw temple temples ear ears nose cheek cheekbone eye eyes mouth brow",
    "body": "body stomach belly rib ribs liver chest trunk midriff navel plexus flank",
    "legs": "leg legs calf calves thigh thighs shin shins",
}
"""By target. Arms are not among them: a note names the arm that a punch to the head was blocked with."""
_TELLING = {
    "head": "upstairs temple jaw cheekbone nose",
    "body": "downstairs stomach belly liver ribs",
    "legs": "calf thigh",
}
"""Words that tell what is hit with no preposition before them."""
_ONTO = rf"\b(?:to|on|in|into|at|under|against|off) (?:(?:{'|'.join(sorted(DETERMINERS))}) |\w+['’]s )?(?:solar )?"
"""A preposition tells what is hit from what moves."""
TARGETS = {
    target: re.compile(f"{any_of(_TELLING[target])}|{_ONTO}{any_of(words)}", re.IGNORECASE)
    for target, words in PARTS_HIT.items()
}
PARTS = [
    *words("""
    hand hands arm arms foot feet glove gloves fist elbow elbows shoulder shoulders knee knees hip hips side
"""),
    *(word for words in PARTS_HIT.values() for word in words.split()),
    "solar",
]
"""Every part of the body that a note may name."""
