"""English: every list and pattern of its words that texts are read by. Another language has a module of these names.

How they are used stands where they are used. The lists are our own, from common practice, where no source is named.
"""

from __future__ import annotations

import re

import Stemmer

from fightnotes.language import english_speech

STEMMER = Stemmer.Stemmer("porter")
"""The Porter algorithm (Porter 1980), as SQLite's FTS5 has it."""
TOKENIZER = "porter unicode61 remove_diacritics 2"
"""How FTS5 stems the same texts: both must make one stem of a word."""
POSSESSIVE = ("'s", "’s")
INFLECTIONS = ("s", "ed", "ing")
"""Endings that make of a verb the form in which a note tells what was done: lands, landed, landing."""
DEGREES = ("r", "er", "st", "est", "ly")
"""Endings of comparatives and adverbs, which the stemmer leaves on."""
COMMON_WORDS = english_speech.COMMON_WORDS
LETTERS, SPELT, DOUBLED = english_speech.LETTERS, english_speech.SPELT, english_speech.DOUBLED
plural = english_speech.plural


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


def _any(text: str) -> str:
    """Pattern of the words of a text, one of which has to stand there."""
    return rf"\b(?:{'|'.join(text.split())})\b"


def _behind_a_name(*verbs: str) -> re.Pattern[str]:
    """Pattern of verbs, or their beginnings, as they stand right behind a name."""
    lead = r"(?:\w+ly |only |just |half-?|never |not |no longer |still )*"
    return re.compile(rf"\W*{lead}(?:{'|'.join(verbs)})", re.IGNORECASE)


# ---- words that carry no content ---------------------------------------------------------------------------------
DETERMINERS = frozenset(_words("a an the his her their its my your our"))
"""Articles and possessives: whoever writes "showing his chin" says "showing the chin"."""

FUNCTION_WORDS = DETERMINERS | frozenset(
    _words("""
    about after all also am and any are as at be because been before being but by can could did do does doing
    done for from get gets getting goes going had has have having he here hers him how i if in into is it itself
    just let lets me more most much no nor not of on one or other own same she should so some somebody someone
    something such than that them then there these they thing this those to too us use used uses using very was
    we were what when where which while who whom whose why will with would you don doesn didn isn aren wasn
    weren won wouldn can't couldn shouldn hasn haven hadn t s ll re ve d m without never none nobody nothing
    neither every each time times moment moments show find
""")
)
"""Words that say nothing of what happened, those among them with which a query asks ("show me every time"). Words of
place and direction (up, out, off, inside, over) are not among them: in this trade they are content."""

PARTING = frozenset(_words("and or nor but then so while before after not no never without neither none than"))
"""Function words that make two things of what stands on their two sides, or deny one: no label runs over them."""

STOP_WORDS = FUNCTION_WORDS | frozenset(
    _words("""
    both either another two three first second third next last few many less least several enough lot lots bit
    mine myself yours yourself himself herself ours ourselves theirs themselves whoever onto upon like against
    between among across along around during since until till per via toward towards yet whenever wherever
    whether though although unless once now again ever always often sometimes still already only even quite
    rather almost nearly maybe perhaps really well away far else instead shall may might must ought got go went
    gone come comes came coming make makes made making take takes took taking keep keeps kept see sees saw seen
    look looks looked looking try tries tried trying want wants wanted say says said think thinks thought know
    knows knew give gives gave yes ok okay i'm i've i'll you're you've it's he's she's we're they're that's
    there's isn't aren't wasn't weren't don't doesn't didn't won't wouldn't couldn't shouldn't hasn't haven't
    hadn't
""")
)
"""Words that no term begins or ends with: function words, and the commonest verbs and adverbs. Words of place and
direction that are terms of the trade in part ("under", "over", "off", "inside", "back", "down") are not among them."""

INSIDE_TERMS = frozenset(_words("of to the"))
"""Stop words that may stand inside a term."""
EMPTY_VERBS = _words("""
    throw throws throwing thrown threw put puts send sends sent bring brings brought start starts started stop
    stops begin begins began leave leaves stand stands stood stay stays let lets feel feels felt hear hears
    heard need needs tell tells told mean means call calls called
""")
"""They take any object, so that with it they name nothing."""
SPANS_OF_TIME = _words("""
    round rounds second seconds minute minutes half bell fight bout night tape camera film
""")

# ---- what was not done: cues of negation and report ---------------------------------------------------------------
# After NegEx (Chapman, Bridewell, Hanbury, Cooper and Buchanan 2001); the cues are those of English and of this trade.

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
    UNREAL, "think(?:s|ing)? (?:of|about)", "thought (?:of|about)", "about to", "going to", "as if to",
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
CLAUSE_OPENERS = _any("but however although though because until except then so while which who before after")
"""The words before them no longer reach what stands behind."""

# ---- who acts, and who is acted on -------------------------------------------------------------------------------
AGENT = "by"
TOWARDS = frozenset(_words("on against at to past into"))
"""Before the name of one who is acted on."""
JOINING = frozenset(_words("and or v vs versus"))
"""Between the names of two who have the same part."""
OPPOSED = "v|vs|versus"
"""Between the two names of a bout, in the name of a file or a heading."""
NAME_PARTICLES = frozenset(_words("al ap bin da das de del den der di do dos du el ibn la le ten ter van von zu"))
"""Small words inside a person's name."""
NOT_IN_NAMES = frozenset(
    _words("""
    analysis audio bout breakdown captions card commentary copy cut debut draft edited event exhibition film final
    first footage full interview live main new note notes old part preview raw rd recap rematch report review rewatch
    rnd round rounds score scorecard scoring second study subs subtitles subtitled talk tape third title transcript
    transcripts video watch
""")
)
"""What the name of a file says beside the names of two fighters."""
CLAUSE_JOINERS = _any("and when as")
"""They open a clause with a part for each name, and a denial reaches over them all the same."""
_PARTICIPLE = r"(?:\w+ed|beat|beaten|caught|cut|driven|hit|hurt|put|sent|shaken|taken|thrown)"
PASSIVE = re.compile(
    rf"\W*(?:(?:is|was|gets|got|being|been)\s+(?:\w+ly\s+)?{_PARTICIPLE}\b|{_PARTICIPLE}\s+by\b)", re.IGNORECASE
)

# ---- who is spoken of, beside names ------------------------------------------------------------------------------
CORNERS = re.compile(
    r"\b(?:the )?(?P<corner>red|blue)\b(?: (?:corner|fighter|boxer))?(?:['’]s)?"
    r"(?! (?:gloves?|trunks|shorts|tape|light|card|mat|canvas|ropes?|marks?|face|eye|skin|blood|post|line|shirt)\b)",
    re.IGNORECASE,
)
STANCE_NAMES = re.compile(
    r"\bthe (?P<stance>orthodox|southpaw)\b(?: (?:fighter|boxer|man|woman))?(?:['’]s)?", re.IGNORECASE
)
"""One of the two, where only one of them stands so."""
NOT_INITIALS = frozenset("LRI")
"""Capitals with a stop that stand for more than a name: left, right, the writer."""
SUBJECTS = frozenset(_words("he she they"))
"""Pronouns for one who acts."""
BEFORE_SUBJECTS = frozenset(
    _words("and but then now again so here this time when as while for once at last first still")
)
"""Words that may open a clause before the one who acts in it."""
OFFICIALS = _any("referee ref corner trainer doctor judges? crowd commentators? timekeeper bell cutman")
"""Who acts in a clause and is no fighter."""
ASKING = frozenset(
    _words("told tells tell telling asked asks ask asking reminds reminded lets let makes made wants wanted")
)
"""Right before the name of one who does not act yet."""
SENDER, OWNER = "from", "of"
"""Before the name of one whose punch was named before: a right hand from Corvale, the left of Corvale."""
BEFORE_NO_NAME = (DETERMINERS - {"the"}) | frozenset(_words("this these those some any every each another"))
"""Right before a word they say that it is no name."""
BEHIND_A_NAME = frozenset(
    _words("""
    is was has had does did can could will would should may might must isn't wasn't hasn't doesn't didn't can't won't
    just never still always only already almost nearly and who who's
""")
)
"""Words that often follow a name, and seldom another noun."""
AWAY = frozenset(_words("away off out back"))
"""Before `from`, where it does not name the sender."""
PREPOSITIONS = frozenset(
    _words("""
    on against at to past into in for with from of off over under behind round around between after beneath through
    before than near beside inside outside towards toward
""")
)
"""Right before a name they make it that of one who does not act in the clause."""
PUNCHES = re.compile(
    _any("""
    jabs? hooks? cross(?:es)? uppercuts? overhands? straights? punch(?:es)? shots? kicks? knee teeps? counters?
    combinations?
"""),
    re.IGNORECASE,
)
OWNED = re.compile(
    f"{PUNCHES.pattern}|{_any('gloves? hands? foot feet step shoulders? lead rear')}"
    r"|\b(?:left|right)\b(?! (?:eye|knee|leg|side|ear|cheek|ankle|thigh)\b)",
    re.IGNORECASE,
)
"""Behind a possessive: what its owner acts with."""
COUNTERED = re.compile(
    rf"\W*(?:\w+ )?{PUNCHES.pattern} (?:is|was|gets|got) (?:met|answered|countered|timed|beaten|intercepted)\b",
    re.IGNORECASE,
)
"""Right behind a name: the other answers that fighter's punch."""
DEFENDS = _behind_a_name("blocks?", "blocked", "takes it", "took it", r"(?:takes?|took) (?:most|them|everything) on")
"""What is done against a punch of the other, and is no more than that: whoever parries or slips it acts."""
REACTS = _behind_a_name(
    "flinch", r"bit(?:es?|ing)\b", "bought", "buys", "react", "follow", "exhal", "grunt", "stays? put", "freez",
    "froze", "blink", "wince", "declin", "refus", "ignor", "accept", "takes? the (?:bait|offer|invitation)", "clamp",
    "stumbl", "wobbl", "buzz", "hurt", r"down\b", "out of (?:there|it)", "stop(?:s|ped) short", "goes for it",
    "half-goes", "(?:didn['’]?t|doesn['’]?t|did not|does not) see", "(?:saw|sees) it (?:too )?late",
    "is(?:n['’]t| not) having", r"(?:is|was|goes|went) down\b(?! (?:the|to)\b)",
    "finally (?:bites|goes)", "on (?:his|her|their) heels", "into the ropes", "falls? for", "fell for",
)  # fmt: skip
"""What is done about what the other does."""
IDLES = _behind_a_name(
    "wait", "watch", "looks?(?! for)", "peers?", r"nods?\b", "stay", "stands?(?! on)", "stood", "smil", "thinks?",
    "thought", "knows?", "knew", "expect", "seem", "breath", "has (?:no|nothing)", "shrug", "walks? past", r"leans?\b",
    "not ", "happy", "tired", "can['’]?t(?! help)", "cannot", "could", "should",
)  # fmt: skip
"""What tells of no act: of the other's, where one was told before."""
_PUNCHED = rf"(?:{PUNCHES.pattern}|left|right|punch)"
RECEIVES = _behind_a_name(
    rf"(?:meets?|eats?|takes?|gets?|wears?|swallows?) (?:\w+ ){{0,3}}?{PUNCHES.pattern}(?! (?:on|by)\b)",
    rf"(?:walk|run|step|march)(?:s|es|ed|ing)? (?:straight |right )?(?:on|in)to (?:\w+ ){{0,2}}?{_PUNCHED}",
)
"""What becomes of one who is hit."""

# ---- sides and ways ----------------------------------------------------------------------------------------------
HANDS = "left|right"
LEADS = "lead|rear"
SIDES = [*HANDS.split("|"), *LEADS.split("|"), "front", "back", "both"]
WAYS = _words("up down over under off back forward through away out in around round")
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
    r"\b(?:beneath|under|past|from|off|away from|against|waits? for|expect\w*)\s+(?:the|a)?\s*$", re.IGNORECASE
)
"""Before the hand of the opponent, who may go unnamed."""

# ---- parts of the body, and what is hit ---------------------------------------------------------------------------
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
    target: re.compile(f"{_any(_TELLING[target])}|{_ONTO}{_any(words)}", re.IGNORECASE)
    for target, words in PARTS_HIT.items()
}
PARTS = [
    *_words("""
    hand hands arm arms foot feet glove gloves fist elbow elbows shoulder shoulders knee knees hip hips side
"""),
    *(word for words in PARTS_HIT.values() for word in words.split()),
    "solar",
]
"""Every part of the body that a note may name."""

# ---- how it came out ---------------------------------------------------------------------------------------------
_HE = r"(?:(?-i:[A-Z][\w-]+|[A-Z]\.)|he|she|who|they)"
"""One who is named, or a pronoun."""
_GUARD = r"(?:gloves?|leather|forearms?|elbows?|arms?|guard|shoulders?|palm|shin)"
_HIS = r"(?:the|his|her|their|both|\w+['’]s)"
_NOT = r"(?:doesn['’]?t|does not|didn['’]?t|did not|won['’]?t|refuses to)"
_ENDS = r"(?=[.,;!]|$)"
OUTCOMES: dict[str, tuple[str, ...]] = {
    "stoppage": (
        "wav(?:es|ed) (?:it |him |her |them )?off", "stoppage", "t?ko", "rsc", "called off", "full count",
        f"(?:{OFFICIALS}|he|she)(?:['’]s)? (?:has )?stop(?:s|ped) (?:it|the (?:fight|bout|contest))", "counted out",
        f"{OFFICIALS} (?:has )?stop(?:s|ped) (?:him|her)", "(?:fight|bout|contest) (?:is |was )?(?:stopped|halted)",
        "towel (?:comes |goes )?in", "throws? in the towel", "taps? out", "tapped(?: out)?", "pulls? (?:him|her) out",
        "retire(?:s|d)",
    ),
    "knockdown": (
        "knock(?:ed|s)? ?down", "kd", "floor(?:ed|s)", "felled", "(?:on|to) the (?:canvas|deck|floor|boards)",
        "(?:takes?|took|taken) a knee", "hits the (?:deck|floor|mat|canvas)", "down (?:he|she) goes", "down hard",
        rf"drop(?:s|ped) (?:him|her|them)(?:{_ENDS}|(?= (?:with|to|for)\b))", "(?:is|was|gets) dropped", "dropped by",
        f"{_HE} sits? down", "sat (?:him |her )down", "puts? (?:him|her) down", "(?:he|she)['’]s (?:gone )?down",
        rf"{_HE} (?:is|goes|went|has gone) down(?! (?:the|to|with|a)\b)", "on (?:his|her) (?:back|seat)",
        "on all fours", "off (?:his|her) feet", "face ?plants?", "pitche[sd] forward",
    ),
    "hurt": (
        "hurts?", "buzz(?:ed|es)", r"wobbl\w+", r"stagger\w*", "rock(?:ed|s) (?:him|her)", "rocked", "shaken",
        r"stunn\w+",
        "winces?", "grunts?", r"legs? (?:go|goes|went|dip|buckle|stiffen|gone)\w*", "legs are not", "legs have gone",
        r"knees? (?:buckle|dip)\w*", "holding (?:his|her) side", "doubled? (?:him|her )?over", "shakes? (?:him|her) up",
        "shook (?:him|her)", "(?:stung|stings) (?:him|her)", "rattled", r"lurch\w*", "dazed", "glazed", "winded",
        "folds? (?:him|her)", r"limp(?:s|ing|ed)", r"hobbl\w+", "all over the place", "in (?:real |big |bad )?trouble",
    ),
    "blocked": (
        "block(?:s|ed)", "blkd", "parried", "picked (?:it |them |that )?off", "smothered", f"caught{_ENDS}",
        f"(?:lands?|landed|caught|taken|dies|ends|is|all|most|it) on(?:to)? (?:{_HIS} )?{_GUARD}", "checked",
        f"most of it on (?:{_HIS} )?{_GUARD}", "(?:brushed|patted|swatted|knocked|turned) (?:aside|away)",
        f"{_GUARD} takes? (?:it|them|both)", "on(?:to)? (?:the )?(?:gloves|leather|elbows|forearms)",
        "nothing but (?:gloves?|arms?|elbows?|leather)", "all (?:gloves?|arms?|elbows?|leather)", f"into {_HIS} guard",
    ),
    "missed": (
        r"miss(?:es|ed)?(?! a\b)", rf"(?<=[,;] )air{_ENDS}", "(?:into|hits|hitting|finds|punches) (?:thin |fresh )?air",
        r"whiff\w*", r"(?:falls?|fell|comes?|came|is|well|way|too)(?: \w+){0,2} short", "short by",
        rf"(?<!little )(?<!thrown )(?<!works )short{_ENDS}", "(?:hits|meets?|finds|touches) (?:nothing|nobody|no ?one)",
        "sail(?:s|ed) (?:over|past|wide|by)", "goes wide", "(?:no|without) contact",
        "wide of", f"goes over{_ENDS}",
    ),
    "partial": (
        r"graz\w+", r"glanc\w+", "half[- ](?:lands?|blocked|blkd)", "partly", "partial(?:ly)?", "shav(?:es|ed)",
        "little on it", "a little short", "brush(?:es|ed) (?:him|her|the (?:chin|cheek|ear|nose|ribs?|hair|face))",
        "(?:slides?|slid|skids?|skidded) off", f"{_GUARD} (?:takes?|took) (?:most|the worst)", "top of the head",
        "a piece of (?:him|her|it)", "not all of it", "touch only", "half lands",
    ),
    "landed": (
        f"(?<!to )land(?:s|ed)?(?! on(?:to)? (?:{_HIS} )?{_GUARD})", "lnds?", "connects?", "(?<!had )connected",
        "flush",
        "gets? home", "got home", "split(?:s|ting)? the guard", "hits (?:him|her)", "clean(?:ly)?", "on the money",
        "on the (?:button|chin|nose|ear|jaw|cheek(?:bone)?|temple|liver)", "thud(?:s|ded)? (?:in|on)to",
        "(?:is|gets|and) (?:hit|hooked|jabbed|tagged|kicked)", "snaps (?:his|her|the) head", "unobstructed",
        "(?:finds?|found) the (?:chin|body|liver|ribs?|stomach|target|mark|jaw|nose|face)",
    ),
    "ignored": (
        r"ignor\w+", f"{_NOT} (?:bite|react|buy|flinch|bother|respond|answer|fall for|follow{_ENDS})",
        f"{_NOT} take (?:it|the (?:bait|offer|invitation))",
        "no (?:reply|takers?|customers?|reaction|answer|response|sale)", "refus(?:es|ed)", "declin(?:es|ed)",
        "stays? put", "unmoved", "leaves? (?:it|the door) alone", "just looks", "gets nothing", "not buying",
        "not biting", "unimpressed", "nobody (?:bites|comes|reacts)", "stop(?:s|ped) short of it", f"walks? on{_ENDS}",
    ),
    "worked": (
        "worked", r"flinch\w*", "gets? the (?:flinch|reaction|lead)", "falls? for", "fell for", "into the ropes",
        "(?:takes?|took|accepts?|accepted) the (?:bait|offer|invitation)", r"buys (?:it|time|\w+ seconds)",
        "bought it", "bites", "bit on it",
    ),
    "failed": (
        "fail(?:s|ed)?(?! to)", "stuff(?:s|ed)", "shrugg?(?:s|ed) (?:it|him|her) off", "comes to nothing",
        f"{_NOT} work", r"backfir\w+",
    ),
    "warning": (
        "warn(?:s|ed|ing)", "told off", "cautions?", "cautioned", "ticked off", "talking[- ]to", r"lectur\w+",
        "wags? a finger", "finger wag", "(?:been|was|is) spoken to", "reprimand(?:ed)?", r"admonish\w+", "stern word",
    ),
    "foul": (
        "fouls?", "fouled", "low blow", r"head-?butt\w*", "butts", "below (?:the )?belt", "takes? a point",
        "points? (?:taken|deducted|off)", r"deduct\w+", "rabbit punch(?:es)?", "clash of heads", "illegal", "eye poke",
        "that['’]s low",
    ),
}  # fmt: skip
"""By outcome, what says it."""
SHOUTED_DOWN = re.compile(rf"\bDOWN\b|{_HE} down!")
NOT_THE_BLOW = re.compile(r"\b(?:foot|feet|toes?|heel|boot)\b(?:\s\w+){0,2}\s$", re.IGNORECASE)
"""Before a word that then tells of a step."""
GUARDING = re.compile(
    r"\b(?:gloves?|hands|elbows?|forearms?|chin|shell|arms|both|head|palm)\s(?:\w+\s){0,2}$", re.IGNORECASE
)
"""Before a part of the body that is guarded or shown, and not hit."""
AIMED = {
    "head": r"\bhead[- ](?:kick|shot|punch|jab|hook|cross)s?\b|\bhigh kicks?\b|\bgoes (?:high|upstairs)\b",
    "body": r"\b(?:body|liver|rib|stomach)[- ]"
    r"(?:shot|kick|punch|jab|hook|cross|knee|blow|straight|uppercut|right|left)(?:s|es)?\b|\bmiddle kicks?\b",
    "legs": r"\b(?:leg|calf|thigh|low)[- ]kicks?\b",
}
"""Punches and kicks that are named by what they are aimed at."""
