"""English: every list and pattern of its words that texts are read by. Another language has a module of these names.

How they are used stands where they are used. The lists are our own, from common practice, where no source is named.
"""

from __future__ import annotations

import re

import Stemmer

STEMMER = Stemmer.Stemmer("porter")
"""The Porter algorithm (Porter 1980), as SQLite's FTS5 has it."""
TOKENIZER = "porter unicode61 remove_diacritics 2"
"""How FTS5 stems the same texts: both must make one stem of a word."""
POSSESSIVE = ("'s", "’s")
INFLECTIONS = ("s", "ed", "ing")
"""Endings that make of a verb the form in which a note tells what was done: lands, landed, landing."""


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
_PARTICIPLE = (
    r"(?:(?!settled|interested|tired|pleased|finished|gone|supposed|expected|rewarded|done)\w+ed|beat|beaten|bent"
    r"|caught"
    r"|cut|driven|felt|hit|hkd|hurt|made to|met|put|sent|shaken|struck|stung|swept|taken|thrown|told off|walked on)"
)
_BE = r"(?:is|was|are|were|gets|got|being|been|(?:has|have|had|['’]s) been|['’]s)"
PASSIVE = re.compile(
    rf"\W*(?:{_BE}\s+(?:\w+ly\s+|then\s+|again\s+|just\s+)?{_PARTICIPLE}\b|{_PARTICIPLE}\s+by\b)", re.IGNORECASE
)

# ---- who is spoken of, beside names ------------------------------------------------------------------------------
CORNERS = re.compile(
    r"\b(?:the |a )?(?:(?:man|woman|chap|lad|lady|girl|fighter|boxer|one|fellow) in (?P<dressed>red|blue)\b"
    r"|(?P<corner>red|blue)\b(?: (?:corner|fighter|boxer|man|woman))?)(?:['’]s)?"
    r"(?! (?:gloves?|trunks|shorts|tape|light|card|mat|canvas|ropes?|marks?|face|eye|skin|blood|post|line|shirt)\b)",
    re.IGNORECASE,
)
STANCE_NAMES = re.compile(
    r"\bthe (?:(?P<stance>orthodox|southpaw)\b(?: (?:fighter|boxer|man|woman|one|fellow))?"
    r"|(?P<handed>left|right)[- ]?hander\b)(?:['’]s)?",
    re.IGNORECASE,
)
"""One of the two, where only one of them stands so."""
NOT_INITIALS = frozenset("LRI")
"""Capitals with a stop that stand for more than a name: left, right, the writer."""
PRONOUNS = re.compile(
    r"\b(?:(?P<subject>s?he(?:['’](?:s|d|ll))?)|(?P<object>him)|(?P<owner>his)|(?P<either>her)"
    r"|(?P<other>(?:the other (?:one|man|woman|fellow|fighter|boxer|guy|girl|lady|chap)|(?:his|her|the) (?:opponent"
    r"|rival|foe)"
    r"|(?:his|her) man)(?:['’]s)?))(?![\w'’])",
    re.IGNORECASE,
)
BEHIND_OBJECTS = frozenset(
    _words("""
    back down up off out over away again onto clean cleanly flush hard round around twice once coming going with on
    upstairs downstairs inside outside backwards forward forwards across through good properly right straight
""")
)
"""Content words that stand behind one to whom a thing is done: after "her" they are no noun."""
BEFORE_SUBJECTS = frozenset(
    _words("""
    and but then now again so here this time when as while for once at last first still because after before having
    though although since that there's that's right ah oh ooh okay well um uh yeah no just
""")
)
"""Words that may open a clause before the one who acts in it."""
BESIDE = frozenset(_words("a an the and again it is was it's this that one by there from with yes no does did for"))
"""Words that leave a name alone: "Low kick, Iversholm, nowhere near"."""
OFFICIALS = _any("referee ref corner trainer doctor judges? crowd commentators? timekeeper bell cutman")
"""Who acts in a clause and is no fighter."""
OFFICIAL = re.compile(rf"\W*(?:the |a |her |his )?{OFFICIALS}", re.IGNORECASE)
ASKING = frozenset(
    _words("told tells tell telling asked asks ask asking reminds reminded lets let makes made wants wanted")
)
"""Right before the name of one who does not act yet."""
SENDER, OWNER = "from", "of"
"""Before the name of one whose punch was named before: a right hand from Corvale, the left of Corvale."""
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
    jabs? hooks? hk cross(?:es)? uppercuts? upc overhands? straights? punch(?:es)? shots? kicks? knees? elbows? teeps?
    counters? ctr combinations? combos? flurr(?:y|ies) swings? rights lefts blows? haymakers? one-two
"""),
    re.IGNORECASE,
)
OWNED = re.compile(
    f"{PUNCHES.pattern}|{_any('gloves? hands? foot feet step shoulders? lead rear')}"
    r"|\b(?:left|right)\b(?! (?:eye|knee|leg|side|ear|cheek|ankle|thigh)\b)",
    re.IGNORECASE,
)
"""Behind a possessive: what its owner acts with."""
STRIKES = frozenset(
    _words("""
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
    _any("""
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
    r"(?:^|(?<=[\s,.;:(>-]))(?:straight |str )?(?P<hand>left|right)(?: hand| straight| cross)?"
    r"(?=\s*(?:[,.;!?]|$)|\s+(?:again|goes|comes|came|went|lands?|landed|over|through|down|straight|into|to|on|in"
    r"|right|up"
    r"|cross|behind|short|blocked|upstairs|downstairs|between|lead|underneath|meets|has|is|was|that|finds|across|at"
    r"|catches"
    r"|thrown|hits|and)\b)",
    re.IGNORECASE,
)
"""A hand that punches and is called by nothing but its side."""
SETTING = re.compile(
    r"\W*(?:and )?(?:as|while|when|because|having|after|before|though|although|seeing|since|if)\b", re.IGNORECASE
)
"""Opens a clause that tells what another happens in."""
STRUCK = re.compile(
    r"\W*(?:(?:oh |and |he['’]?s |she['’]?s )*(?:rocked|wobbled|taken down|down|dropped|floored|hurt|cracked|caught"
    r"|tagged|hit"
    r"|stunned|buzzed|staggered|shaken|stung|clipped|nailed|knocked \w+|decked|countered|swept|thrown|tripped"
    r"|dumped|cut"
    r"|cuffed|struck|backed up|pushed back|walked on(?:to| to)))\b(?! (?:the|a|his|her|goes)\b)",
    re.IGNORECASE,
)
"""Opens a clause about one who was struck."""
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
COUNTERED = re.compile(
    rf"\W*(?:\w+ )?{PUNCHES.pattern} (?:is|was|gets|got) (?:met|answered|countered|timed|beaten|intercepted)\b",
    re.IGNORECASE,
)
"""Right behind a name: the other answers that fighter's punch."""
OWN_PART_HIT = re.compile(
    r"\W*(?:\w+ ){0,4}?(?:leg|legs|knee|knees|head|nose|eye|ear|chin|jaw|face|shoulder|arm|arms|thigh|calf|ribs"
    r"|body|biceps"
    r"|cheek|brow|lip)(?: \w+){0,3}? (?:"
    rf"{_BE} (?:\w+ly )?{_PARTICIPLE}|went|goes|buckles?|buckled|snaps?|snapped|rocks|jolts|dips?|stiffens?|gives?|gave"
    r"|flies|bleeds)\b",
    re.IGNORECASE,
)
"""Behind a possessive: what was done to its owner."""
DEFENDS = _behind_a_name("blocks?", "blocked", "takes it", "took it", r"(?:takes?|took) (?:most|them|everything) on")
"""What is done against a punch of the other, and is no more than that: whoever parries or slips it acts."""
REACTS = _behind_a_name(
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
IDLES = _behind_a_name(
    "wait", "watch", "looks?(?! for)", "peers?", r"nods?\b", "stay", "stands?(?! on)", "stood", "smil", "thinks?",
    "thought", "knows?", "knew", "expect", "seem", "breath", "has (?:no|nothing)", "shrug", "walks? past", r"leans?\b",
    "not ", "happy", "tired", "want", "laugh", "grin", "just (?:stands|circles|looks|lies|lying)", "lies", "lying",
    "blink",
    "has seen", "admir", "listen",
    "(?:is|was) (?:still |just |so )*(?:standing|resetting|waiting|watching|lying|expecting)", "can['’]?t(?! help)",
    "cannot", "could", "should",
)  # fmt: skip
"""What tells of no act: of the other's, where one was told before."""
_PUNCHED = rf"(?:{PUNCHES.pattern}|left|right|punch|one|another|anthr|several|\d+)"
RECEIVES = _behind_a_name(
    rf"(?:meets?|eats?|ate|wears?|wore|swallows?) (?:\w+ ){{0,3}}?{_PUNCHED}\b",
    rf"(?:takes?|took|gets?|got|catches) (?!the (?:left|right) foot)(?:(?!on\b|by\b|with\b)\w+ ){{0,3}}?{_PUNCHED}\b"
    r"(?! (?:on|by|off|foot|home|there|in)\b)",
    r"(?:takes?|took) (?:\w+ ){1,3}?(?:on|to|in) the \w+",
    r"(?:walk|run|step|march|ran|sail)(?:s|es|ed|ing|t)? (?:straight |right )?(?:on ?|in)to "
    rf"(?:it\b|one\b|(?:\w+ ){{0,2}}?{_PUNCHED})",
    "(?:pays?|paid|punished|penalised) for",
    "eats?",
    "ate",
)
"""What becomes of one who is hit."""

NO_ACT = re.compile(
    r"\b(?:before the fight|by my count|(?:what|which|how|why|who) (?:would|did|do|does|is|was|should)|would you"
    r"|people (?:will |would |keep |might )?(?:say|saying|tell|telling|ask|asking|putting)|everybody (?:was"
    r"|is) (?:saying|telling)"
    r"|somebody (?:says|tells)|for (?:\w+ )?years|in (?:\w+ )?rounds|after (?:\w+ )?rounds|all (?:night|fight|evening)"
    r"|i (?:was )?(?:expect(?:ed|ing)?|counted|count)|if he|if she|hasn['’]?t he|(?:four|three|two|five|six) times)\b",
    re.IGNORECASE,
)
"""In a sentence that tells of history, plans, advice or a question, and of no act."""

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
