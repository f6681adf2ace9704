"""English as it runs in talk: how sentences and topics begin and end, and how a round and its clock are named.

It stands beside `english` and goes with it: another language has a module of these names, too. The lists are our own,
from common practice.
"""

from __future__ import annotations

import re

from fightnotes.language.english.content import DETERMINERS


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


# ---- running speech ----------------------------------------------------------------------------------------------
FILLERS = frozenset(_words("um uh er erm ah oh ooh hm hmm mm"))
SPEECH_OPENERS = frozenset(_words("so okay ok alright"))
"""Words with which a speaker begins a sentence."""
TOPIC_OPENERS = SPEECH_OPENERS | frozenset(_words("now right well anyway"))
"""Words with which a speaker begins with something else; in mid-talk they often end a clause."""
TELLING = frozenset(_words("tell tells telling told show shows showed remind reminds ask asks asked"))
"""Verbs that take one who is told, and then a clause."""
SPEECH_JOINERS = frozenset(_words("and but or"))
ACTING_PRONOUNS = frozenset(_words("he she i we they"))
SHORT_CLAUSES = frozenset(
    _words("""
    it's that's he's she's i'm i've i'd i'll we're we've we'll you're you've they're they've there's here's he'd she'd
    he'll she'll what's let's it'll that'll
""")
)
"""A subject and its verb in one word."""
POINTING_WORDS = frozenset(_words("this that these those there here it you"))
"""They may be the subject of a clause, and may be much else."""
BIDDING = frozenset(_words("look watch see listen notice remember imagine"))
"""What a speaker asks of those who listen, at the beginning of a sentence."""
UNFINISHED = (
    DETERMINERS
    | FILLERS
    | frozenset(
        _words("""
    and but or nor because if when while as than of to at from with by for into onto over under his very too both
    every each no not is are was were am be been being has have had do does did can could will would shall should
    must may might i we he she they who which whose it's that's he's she's i'm there's you're we're they're isn't
    aren't wasn't don't doesn't didn't can't couldn't won't wouldn't really just almost quite some any these those
""")
    )
)
"""Words that no sentence ends with, or hardly ever."""
TAKES_CLAUSE = frozenset(
    _words("""
    think thinks thought know knows knew say says said believe suppose hope guess see sees saw reckon feel feels mean
    means call because if when while as where what how why which who that than until before after whether since
    though although unless so and but or then time times way whenever wherever thing one first only moment
""")
)
"""Words behind which a subject and its verb go on with the sentence."""
GOING_ON = frozenset(
    _words("""
    of to in on at by for with from into onto over under behind through round around off down up out as than which who
    who's whose because while until when where if before after again though although either too yet or against between
    inside outside across like
""")
)
"""Words that mostly go on with the sentence before them."""
SUBORDINATORS = frozenset(_words("because if when while as after before since although though once whenever until"))
"""A sentence that begins with one of them has two clauses."""
ENDING = frozenset(
    _words("""
    again now there then up down off in out back away home too anyway really honestly him her it them me us himself
    herself yet though once twice already left over before together properly early late
""")
)
"""Words with which a clause is often at its end."""
NO_ONE = frozenset(_words("nobody nothing everybody everyone both neither another"))
"""They are mostly the subject of a clause."""
COMMENTING = frozenset(_words("suppose think guess mean believe reckon know see say call hope"))
"""Verbs of what a speaker puts in or adds: you know, I suppose."""
FINITE = frozenset(
    _words("""
    is are was were am be has have had do does did can could will would shall should must may might
    goes comes throws gets takes puts gives makes lands steps brings keeps looks stands falls holds waits wants tries
    knows thinks says sees leads walks leans drops turns moves hits misses catches pulls slips pivots jabs hooks
    counters works starts stops ends shows leaves lets buys bites swings bends opens closes changes switches ties grabs
    went came threw got took put gave made kept stood fell held saw led drew caught hit sat
    look watch see remember
""")
)
"""Verbs as a clause has them whose subject stands before them, the commonest in talk about fights."""
CLAUSE_IN_A_WORD = re.compile(r"\w+(?:['’](?:s|re|m|ve|ll|d)|n['’]t)$")
ABBREVIATIONS = frozenset(_words("mr mrs ms dr st vs v no jr sr rd rnd approx min sec"))
"""A full stop behind them ends no sentence."""
TURNS = re.compile(
    r"(?:(?:um|uh|er|ah|oh|ooh|right|okay|ok|alright|all right|so|and|but|now|well|then|yeah|yes)\s)*"
    r"(?:"
    r"(?:here|there) (?:we go|it is|he is|she is)|(?:here|there)['’]s (?:the|a|another|one)|so here"
    r"|now (?:here|look|this)"
    r"|(?:the )?next (?:one|round|clip|picture|time)|(?:the )?(?:last|final) (?:one|round|clip|picture)"
    r"|one (?:more|last)|(?:and )?here(?:['’]s)? (?:is )?(?:the )?other one|same (?:thing|again)|another one"
    r"|(?:roll|move|moving|going|skip|jump|wind) (?:it |us )?(?:on|forward|ahead)|moving on"
    r"|(?:and )?(?:so )?(?:this|that) (?:one|is (?:the (?:one|other|next|last|clever|best)|another))"
    r"|okay so|right so|ah but|meanwhile|later on|there again|once more|again\b"
    r")",
    re.IGNORECASE,
)
"""How a speaker begins with something else."""
ANNOUNCING = re.compile(
    r"\b(?:roll it on|next one|one more|last one|moving on|move on|have a look at this|watch this|look at this"
    r"|go on to|let['’]s (?:look|go|see|move))\b",
    re.IGNORECASE,
)
"""What a speaker says, before the next thing, that it comes."""
SUMMING_UP = re.compile(
    r"\b(?:short version|to sum (?:it )?up|in summary|in short|all in all|overall|by my count"
    r"|that['’]s (?:it|about that)|that['’]s all|so after \w+ rounds|the whole story|the lesson|thanks for"
    r"|thank you for)\b",
    re.IGNORECASE,
)
"""Talk about the whole of a bout, and no longer about one of its rounds."""

# ---- rounds and their clock in talk ------------------------------------------------------------------------------
ORDINALS = {
    word: number
    for number, words in enumerate(
        zip(
            _words("""
    first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth
"""),
            _words("1st 2nd 3rd 4th 5th 6th 7th 8th 9th 10th 11th 12th 13th 14th 15th"),
            strict=True,
        ),
        start=1,
    )
    for word in words
}
CARDINALS = {
    word: number
    for number, word in enumerate(
        _words("""
    one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen
    nineteen twenty
"""),
        start=1,
    )
} | {"thirty": 30, "forty": 40, "fifty": 50, "a": 1}
_ORDINAL = rf"(?P<ordinal>{'|'.join(ORDINALS)})"
_CARDINAL = rf"(?:{'|'.join(CARDINALS)}|\d{{1,3}})"
_LIMB = "(?:hand|hook|foot|straight|jab|uppercut|upper|cross|glove|leg|shoulder|elbow|side|eye)"
LOOKING_BACK = re.compile(
    r"\b(?:like|as|since|after|before|until|till|than|unlike|from|by|back|remember|them|with) (?:in )?(?:the )?$"
)
"""Before a round that is named for something else than to say where the talk is."""
_BARE_BEHIND = (
    r"(?=$| (?:and|so|now|um|uh|he|she|it|they|with|where|when|as|there|here|just|again|but|i|we|you|he's|she's|it's"
    r"|there's|here's|that's|last|look|watch)\b)"
)
ROUND_NAMED = re.compile(
    rf"\b{_ORDINAL} round\b(?! (?:tko|ko|knockout|knock|stoppage|finish|loss|win|exit))"
    rf"|\bround (?:number )?(?P<cardinal>{_CARDINAL})\b(?! (?:rounds|more|and a half|to go|hand|hands))"
    rf"|\br ?(?P<short>\d{{1,2}})\b"
)
"""A round by its number, in text without marks and capitals."""
ROUND_BARE = re.compile(rf"\b(?:in|to|into|of|begin|now|is|onto|for) the {_ORDINAL}{_BARE_BEHIND}")
"""A round by a number that could count other things."""
ROUND_ASIDE = re.compile(
    rf"\b(?:but|and|now|so) the {_ORDINAL} (?:is|was|starts|begins|goes)\b(?! (?:a|an|the|on|to)\b)"
)
"""A round by a number that counts other things as well as not."""
NEXT_ROUND = re.compile(r"\b(?:the )?next round\b")
LAST_ROUND = re.compile(r"^(?:(?:and|so|okay|but|now|um|uh) )*(?:it's |this is |into )?(?:the )?(?:last|final) round\b")
_NUMBER = rf"(?:{'|'.join(word for word in CARDINALS if word != 'a')}|\d{{1,3}})"
_TENS = r"(?:(?P<tens>twenty|thirty|forty|fifty)[ -])?"
_SPAN = (
    r"(?:(?P<halves>half(?: a)? minute)"
    rf"|(?P<minutes>{_CARDINAL}) minutes? (?:and )?{_TENS}(?P<rest>{_NUMBER})(?: seconds?)?"
    rf"|(?:(?P<whole>{_CARDINAL}) )?(?P<minute>minutes?)(?: and (?P<more>a half))?"
    rf"|{_TENS.replace('tens', 'tens_alone')}(?P<seconds>{_NUMBER})(?: odd| or so)? seconds?"
    r"|(?P<reading>\d{1,2}:[0-5]\d))"
)
"""A span of time as it is said: half a minute, a minute thirty, two minutes, a minute and a half, forty odd seconds."""
_NOT_THE_BOUT = r"(?! (?:of|in) the (?:fight|bout))"
CLOCK_LEFT = re.compile(rf"\b{_SPAN} (?:to go|remaining|on the clock|left(?! {_LIMB}\b)){_NOT_THE_BOUT}")
_TEN = "(?P<tens>ten|twenty|thirty|forty|fifty)"
CLOCK_ROUND = re.compile(
    rf"\b(?:{_TEN} (?:to go|remaining|on the clock)|with {_TEN.replace('tens', 'tens_alone')} left){_NOT_THE_BOUT}"
)
"""Round numbers of seconds, which go without the word."""
CLOCK_LAST = re.compile(rf"\b(?:last|final) {_SPAN}(?![\w:]){_NOT_THE_BOUT}")
CLOCK_GONE = re.compile(
    rf"\b{_SPAN} (?:gone|in(?:to)? (?:the |this )?(?:round|it)\b|in(?=$| (?:and|now|he|she|look)\b))"
)
HALFWAY = re.compile(r"\b(?:half ?way|midway) (?:through|into|in)\b(?: (?:the|this|it)\b)?(?! (?:the )?(?:fight|bout))")
