"""What one does or what becomes of one, by the words at a name: blows, verbs, passives."""

from __future__ import annotations

import re

from fightnotes.language.english.forms import any_of, behind_a_name, words
from fightnotes.language.english.named import BE, PARTICIPLE

ORDINALS = frozenset(
    words("first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth last next this that each")
)
"""Before "round", which then is a time and no preposition."""
PUNCHES = re.compile(
    any_of(r"""
    jabs? hooks? hk cross(?:es)? uppercuts? upc overhands?
    straights?(?!\W(?:back|away|ahead|forward|into|up|out|after)\b)
    punch(?:es)? shots? kicks? knees? elbows? teeps?
    counters? ctr combinations? combos? flurr(?:y|ies) swings? rights lefts blows? haymakers? one-two
"""),
    re.IGNORECASE,
)
OWNED = re.compile(
    f"{PUNCHES.pattern}|{any_of('gloves? hands? foot feet step shoulders? lead rear')}"
    r"|\b(?:left|right)\b(?! (?:eye|knee|leg|side|ear|cheek|ankle|thigh)\b)",
    re.IGNORECASE,
)
"""Behind a possessive: what its owner acts with."""
STRIKES = frozenset(
    words("""
    hits hit catches caught tags tagged hurts hurt drops dropped floors floored stuns stunned rocks rocked wobbles
    wobbled
    staggers staggered buzzes buzzed finds found clips clipped beats beat puts put sends sent drives drove leaves left
    moves moved knocks knocked sweeps swept shakes shook cuts stings stung cracks cracked nails nailed pins pinned ties
    trips tripped throws threw walks walked pushes pushed shoves shoved backs backed pops popped thumps thumped digs
    touches touched grazes grazed blasts blasted freezes froze greets greeted wakes turns turned jabs kicks knees elbows
    punishes punished counters countered meets met
""")
)
"""Verbs right before the name of one whom they strike."""
STRIKING = re.compile(
    any_of("""
    hits? catches tags? tagged lands? landed connects? connected clips? clipped cracks? cracked nails? nailed digs? dug
    throws? threw thrown swings? swung fires? fired thumps? thumped thuds? whacks? whacked smacks? smacked slaps?
    slapped
    swats? pops? popped blasts? blasted drills? drilled rips? ripped crashes crashed potshots? stabs? stabbed swarms?
    swarming punches punched jabbed kicked hooked stuck drives? drops? sends? puts? leads
"""),
    re.IGNORECASE,
)
"""Verbs that tell of a blow."""
A_HAND = re.compile(
    r"\b(?:(?:the|a|an|his|her|straight|str|big|short|hard|long|looping|another|one|over|two|three|rear|clean|same"
    r"|of|with"
    r"|that|again|oh) (?P<hand>left|right)s?(?! (?:foot|feet|eye|knee|leg|side|ear|cheek|ankle|thigh|shin|elbow"
    r"|shoulder|glove|hook|jab|uppercut|up\b|kick|hander|there|now|here|way|back|thing|on time|in front|of the bat))"
    r"|(?P<bare>left|right) (?:hand|straight|cross(?:es)?)\b"
    r"|(?:^|(?<=[,;.!?>-] ))(?P<alone>left|right)(?=[,.!]| to the (?:body|head|chin|stomach|ribs|chest|jaw)| over the"
    r"| upstairs| downstairs| lands?\b| landed| blocked| short\b| misse[sd]| straight| through the| down the))",
    re.IGNORECASE,
)
"""A hand that punches and is called by nothing but its side."""
SETTING = re.compile(
    r"\W*(?:and )?(?:as|while|when|because|having|after|before|though|although|seeing|since|if)\b", re.IGNORECASE
)
"""Opens a clause that tells what another happens in."""
PARTICIPIAL = re.compile(
    r"\W*(?:and |after |by )?(?:seeing|watching|sensing|feeling|making|letting|leaving|catching|timing|waiting for"
    r"|having \w+)\b",
    re.IGNORECASE,
)
"""Opens a clause in which another is named than the one who does it."""
ON_ANOTHER = re.compile(r"\b(?:him|her|the other)$", re.IGNORECASE)
STRUCK = re.compile(
    r"\W*(?:(?:oh |and |he['’]?s |she['’]?s )*(?:rocked|wobbled|taken down|down|dropped|floored|hurt|cracked|caught"
    r"|tagged|hit"
    r"|hkd|hooked|jabbed|kicked|punished|beaten|stunned|buzzed|staggered|shaken|stung|clipped|nailed|knocked \w+"
    r"|decked|countered|swept|thrown|tripped"
    r"|dumped|cut"
    r"|cuffed|struck|backed up|pushed back|walked on(?:to| to)))\b(?! (?:the|a|his|her|goes)\b)",
    re.IGNORECASE,
)
"""Opens a clause about one who was struck."""
STRUCK_BY = re.compile(rf"{STRUCK.pattern}(?=\s+(?:by|with|coming|twice|again|round|flush|clean)\b)", re.IGNORECASE)
BLOW_FIRST = re.compile(
    rf"\W*(?:there['’]?s )?(?:(?:the|a|an|another|that|short|long|hard|left|right|looping|lead|rear|push|big|little) )*"
    rf"(?:{PUNCHES.pattern}|left|right|answer|reply|glove|return)\b(?! (?:foot|eye|knee|leg|side|ear|cheek)\b)",
    re.IGNORECASE,
)
"""A blow is the subject of its clause."""
ANSWERS = re.compile(
    r"\W*(?:the|an|and|a) (?:\w+ )?(?:(?:answer|reply|return|counter)\b|\w+ (?:comes|came|is|goes|went"
    r"|comes straight) back\b)",
    re.IGNORECASE,
)
"""A blow that answers another."""
COMMENT = re.compile(r"\W*(?:that|this|it)(?: is|['’]s| was)\b|\W*look at\b", re.IGNORECASE)
"""Opens a clause about what was told before."""
COUNTERED = re.compile(
    rf"\W*(?:\w+ )?{PUNCHES.pattern} (?:is|was|gets|got) (?:met|answered|countered|timed|beaten|intercepted)\b",
    re.IGNORECASE,
)
"""Right behind a name: the other answers that fighter's punch."""
OWN_PART_HIT = re.compile(
    r"\W*(?:(?:lead|rear|left|right|front|back|own|whole|upper|lower|standing|shoulder|and) ){0,4}(?:leg|legs|knee"
    r"|knees|head|nose|eye|ear|chin|jaw|face|shoulder|arm|arms|thigh|calf|ribs"
    r"|body|biceps"
    r"|cheek|brow|lip)(?: \w+){0,3}? (?:"
    rf"(?:{BE} )?(?:\w+ly )?{PARTICIPLE}|went\b|(?:goes|go) (?:back|stiff|funny)|buckles?|buckled|snaps?|snapped"
    rf"|rocks|jolts|dips?|stiffens?|gives?|gave"
    r"|flies|bleeds)\b",
    re.IGNORECASE,
)
"""Behind a possessive: what was done to its owner."""
DEFENDS = behind_a_name(
    "blocks?",
    "blocked",
    "takes it",
    "took it",
    r"(?:takes?|took) (?:most|them|everything) on",
    r"lets? (?:it|them|that|the \w+) (?:land|hit|bounce|slide|thump|go by|come on to)",
)
"""What is done against a punch of the other, and is no more than that: whoever parries or slips it acts."""
REACTS = behind_a_name(
    "can['’]?t resist",
    "flinch", r"bit(?:es?|ing)\b", "bought", "buys", "react", "follow", "exhal", "grunt", "stays? put", "freez",
    "froze", "blink", "wince", "declin", "refus", "ignor", "accept", "takes? the (?:bait|offer|invitation)", "clamp",
    "stumbl", "wobbl", "buzz", "hurt", r"down\b", "out of (?:there|it)", "stop(?:s|ped) short", "goes for it",
    "half-goes", "(?:didn['’]?t|doesn['’]?t|did not|does not) see", "(?:saw|sees) it (?:too )?late",
    "is(?:n['’]t| not) having", r"(?:is|was|goes|went) down\b(?! (?:the|to)\b)",
    r"(?:is|was) (?:unmoved|made to)",
    "(?:do(?:es)?n['’]?t|did(?:n['’]?t| not)) (?:like|fall|bite|buy|flinch|move|react)",
    "(?:was|is) not best pleased", "felt (?:it|that)", "feels (?:it|that)", "never (?:saw|sees)", "staggers?",
    "reel", "sag",
    "limp", "hobbl", r"gone\b(?! (?:straight|back|to|for)\b)", "legs? (?:go|gone|dip|buckle)", "grins? at", "went down",
    "touches down", "bent over", "obliges? him", "not (?:buying|biting|having)",
    "finally (?:bites|goes)", "on (?:his|her|their) heels", "into the ropes", "falls? for", "fell for",
)  # fmt: skip
"""What is done about what the other does."""
OBJECT_BEHIND = re.compile(r"\w*\s+(?:(?i:him|her|them|the (?:other|southpaw|orthodox))\b|[A-Z]\w)")
"""Behind a verb that is done to another: hurts Beltrouk."""
IDLES = behind_a_name(
    "wait", "watch", "looks?(?! for)", "peers?", r"nods?\b", "stay", "stands?(?! on)", "stood", "smil", "thinks?",
    "thought", "knows?", "knew", "expect", "seem", "breath", "has (?:no|nothing)", "shrug", "walks? past",
    "not ", "happy", "tired", "want", "laugh", "grin", "just (?:stands|circles|looks|lies|lying)", "lies", "lying",
    "blink",
    "has seen", "admir", "listen",
    "(?:is|was) (?:still |just |so )*(?:standing|resetting|waiting|watching|lying|expecting)",
    "can['’]?t(?! help| resist)",
    "cannot", "could", "should",
)  # fmt: skip
"""What tells of no act: of the other's, where one was told before."""
_PUNCHED = rf"(?:{PUNCHES.pattern}|left|right|punch|one|another|anthr|several|\d+)"
RECEIVES = behind_a_name(
    rf"(?:meets?|eats?|ate|wears?|wore|swallows?) (?:\w+ ){{0,3}}?{_PUNCHED}\b",
    rf"(?<!shoulder )(?<!glove )(?<!gloves )(?<!elbow )(?<!arm )(?<!shin )(?<!who )(?:takes?|took|gets?|got"
    rf"|catches) (?!the (?:left|right) foot|8\b|9\b)(?:(?!on\b|by\b|with\b)\w+ ){{0,3}}?{_PUNCHED}\b"
    r"(?! (?:on|by|off|foot|home|there|in)\b)",
    r"(?:takes?|took) (?:\w+ ){1,3}?(?:on|to|in) the \w+",
    r"(?:walk|run|step|march|ran|sail)(?:s|es|ed|ing|t)? (?:straight |right )?(?:on ?|in)to "
    rf"(?:it\b|one\b|(?:\w+ ){{0,2}}?{_PUNCHED})",
    "(?:pays?|paid|punished|penalised) for",
    "eats?",
    "ate",
)
"""What becomes of one who is hit."""
