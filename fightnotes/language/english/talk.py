"""What in talk tells of something done, and what of plans, history and questions."""

from __future__ import annotations

import re

NO_ACT = re.compile(
    "|".join(
        rf"\b(?:{cues})\b"
        for cues in (
            r"before the fight|by my count|last time|(?:years?|months?|weeks?) ago|in (?:the |his |her )?(?:gym"
            r"|camp|training)",
            r"the (?:plan|idea|question) (?:is|was)|as a rule|normally|usually|every time|tends? to|for (?:\w+ )?years",
            r"(?:what|which|how|why|who) (?:would|did|do|does|should|can|could)|did (?:s?he|they)|(?:is|was) that"
            r"|has(?:n['’]?t) s?he",
            r"you(?: would|['’]d| could| should| have to| want to| need to| can['’]?t| must)|would you|if (?:s?he"
            r"|you|they|i)",
            r"people (?:will |would |keep |might )?(?:say|saying|tell|telling|ask|asking|putting)",
            r"everybody (?:was|is) (?:saying|telling)|somebody (?:says|tells)|they say|(?:in|after) (?:\w+ )?rounds",
            r"all (?:night|fight|evening|day)|i (?:was )?(?:expect(?:ed|ing)?|count(?:ed)?)|i['’]d|i would",
            r"(?:four|three|two|five|six|\d) times|it['’]?s not that|because of|one man|(?:score ?|judges['’]? )cards?",
        )
    ),
    re.IGNORECASE,
)
"""In a sentence that tells of history, plans, advice or a question, and of no act."""
DENIED = re.compile(
    r"\W*(?:\w+n['’]?t|(?:is|was|has|had|does|did|['’]s|can|will|would|could)? ?(?:not|never)|cannot|nearly|almost"
    r"|(?:is|was|['’]s) (?:the|a|an|so|very|too|behind|nowhere|one of|good|quick|strong|tired)"
    r"|(?:just )?(?:wants?|wanted|likes?|liked|loves?|loved|hates?|needs?|needed|tends?|seems?|prefers?|knows?"
    r"|deserves?)"
    r"|will|['’]ll|would|['’]d|could|should|might|may|must|can|always|usually|often|normally|used to"
    r"|(?:is|was|['’]s|has been|['’]s been) (?:\w+ )?(?:expecting|trying|thinking|waiting|looking|hoping|going to"
    r"|supposed)"
    r"|(?:tries|tried|has|have|had|hopes|hoped) to|(?:has|have|had|['’]s|['’]ve) been)\b",
    re.IGNORECASE,
)
"""Right behind one who does not do what follows, or not there and then."""
STATE = re.compile(
    r"(?:(?<=e['’]s)|\W*(?:(?:\w+ ){0,2}?(?:is|was|are|were)\b|['’]s\b))"
    r"(?!(?: (?:still|now|just|only|really|all|already|quite|not|\w+ly))* (?:a |an |the )?"
    r"(?:\w+(?:ing|ed|en|wn)|down|hurt|up|back|hit|caught|cut|gone|got|off|away|on|put|in trouble|low|wide|square"
    r"|(?:orthodox|southpaw|left|right)\b(?=.{0,30}\b(?:now|again)))\b) \w+"
    r"|\W*(?:has|had) (?:a|an|the answer|no|to|been|never|always)\b",
    re.IGNORECASE,
)
"""Right behind one who is told to be something, and not to do it."""
LOWERED = re.compile(
    r"\W*(?:\w+ ){0,2}?(?:hands?|gloves?|guard|arms?|chin|elbows?)"
    r" (?:(?:is|are|was|were|\w+ly|all|just|still|right|now) )*"
    r"(?:down|low|lower|at|by|up|wide|out|apart|in|on|open|behind|under|hanging|there)\b",
    re.IGNORECASE,
)
"""Behind a possessive: what is held somewhere on purpose."""
TURN = re.compile(r"[.!?;\n]+\s*|(?=\bbut\s)", re.IGNORECASE)
"""Where it ends a text turns to something else."""
ACTION = re.compile(
    r"\b(?:step|lean|slip|duck|dip|roll|sway|pivot|turn|circl|back(?:s|ed|ing)\b|retreat|walk(?:s|ed|ing)\b|switch"
    r"|chang"
    r"|drop|lower|lift|rais|open(?:s|ed|ing)\b|show(?:s|ed|ing)|offer|gives?\b|gave\b|leav(?:es|ing)|left him"
    r"|lets?\b|puts?\b"
    r"|reach|holds?\b|holding|held|grab|tie[sd]?\b|clinch|hug|push|shov|pull|drag|wrap|gets? (?:up|out|in|the)|nods"
    r"|bit(?:es|ing)|bait|draw[sn]?\b|drew|feint|fak(?:es|ed|ing)|twitch|parr(?:y|ies)|cover|shell|check|plant|slid"
    r"|hop(?:s|ped)"
    r"|bounc|jump|stamp|cut(?:s|ting)|follow|stalk|chas(?:es|ed|ing)|press|counter|answers\b|doubl|bend|tuck"
    r"|tap(?:s|ped)|flick"
    r"|sink|squar|falls? in|goes\b|went\b|comes? (?:in|up|forward|over|back|through|round|across|under|off)"
    r"|tak(?:es|ing)"
    r"|took|brings?|brought|makes? (?:him|her)|made (?:him|her)|retreats|begging|tries it|uses|used|works\b"
    r"|lay[s]?\b|sets?\b"
    r"|hands?\b|gloves?\b|arms?\b|guard\b|foot\b|feet\b|orthodox|southpaw|left[- ]handed|right[- ]handed|way round"
    r"|caught"
    r"|mak(?:es|ing) (?:him|her)|starts?\b|stuff|sprawl|shoots?\b|trip|sweep|swept|fades?|bob|weav)",
    re.IGNORECASE,
)
"""Beginnings of words for something done."""
