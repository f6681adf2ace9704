"""Cues of what was not done: of negation and of report.

After NegEx (Chapman, Bridewell, Hanbury, Cooper and Buchanan 2001); the cues are those of English and of this trade.
"""

from __future__ import annotations

import re

from fightnotes.language.english.forms import any_of

NEGATING = (
    r"\w+n['’]t", "isnt", "wasnt", "doesnt", "didnt", "dont", "wont", "cant", "cannot", "not", "never", "no", "without",
    "nobody", "no one", "none", "nothing", "neither", "nor", "hardly", "barely", r"too \w+ to",
    "refus(?:es?|ed|ing)(?: to)?", "fail(?:s|ed|ing)? to", "declin(?:es?|ed|ing)(?: to)?", "ignor(?:es?|ed|ing)",
    "stopp(?:s|ed|ing) short of", "instead of", "rather than",
)  # fmt: skip
UNREAL = "(?:would|could|should|might) have"
"""What is only expected may still happen; what could have happened did not."""
REPORTING = (
    "expect(?:s|ed|ing)?", "want(?:s|ed|ing)? to", "hop(?:es|ed|ing) (?:for|to)", "look(?:s|ed|ing)? (?:for|to)",
    "wait(?:s|ed|ing)? for", "threaten(?:s|ed|ing)? to", "pretend(?:s|ed|ing)? to", "plan(?:s|ned)? to", "meant to",
    r"(?:ask|call|shout)(?:s|ed|ing)? for(?! (?:it|that)\b)", UNREAL, "think(?:s|ing)? (?:of|about)",
    "thought (?:of|about)", "about to", "going to", "as if to",
)  # fmt: skip
NO_CUE = (
    "not only", "not just", "not least", "no doubt", "without (?:a )?doubt", "no wonder", "no matter", "no sooner",
    "nothing but", "not for the (?:first|last) time",
)  # fmt: skip
"""They look like cues and are none."""
NEGATING_BEHIND = re.compile(
    r"(?:\s+(?!and\b|but\b)\w+){0,3}?\s+(?:never|not|didn['’]t|doesn['’]t|isn['’]t|wasn['’]t|won['’]t)\s+(?:\w+\s+)?"
    r"(?:come|comes|came|coming|arrives?|arrived|happens?|happened|follows?|followed|thrown|there|appears?|tried|used"
    r"|shown)\b",
    re.IGNORECASE,
)
"""A denial that stands behind what it denies: the jab never comes."""
REPORTING_BEHIND = re.compile(
    r"\s+coming\b(?!\s+(?:in|out|back|up|down|over|under|through|off|from|at)\b)", re.IGNORECASE
)
"""Sees the jab coming; a jab coming over the top is thrown."""
CLAUSE_OPENERS = any_of("but however although though because until except then so while which who before after")
"""The words before them no longer reach what stands behind."""
