"""Who acts, and who is acted on: names, what stands for them, and the words around them."""

from __future__ import annotations

import re

from fightnotes.language.english.content import DETERMINERS
from fightnotes.language.english.forms import any_of, words

OPPOSED = "v|vs|versus"
"""Between the two names of a bout, in the name of a file or a heading."""
NAME_PARTICLES = frozenset(words("al ap bin da das de del den der di do dos du el ibn la le ten ter van von zu"))
"""Small words inside a person's name."""
NOT_IN_NAMES = frozenset(
    words("""
    analysis audio bout breakdown captions card commentary copy cut debut draft edited event exhibition film final
    first footage full interview live main new note notes old part preview raw rd recap rematch report review rewatch
    rnd round rounds score scorecard scoring second study subs subtitles subtitled talk tape third title transcript
    transcripts video watch
""")
)
"""What the name of a file says beside the names of two fighters."""
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
_NOT_BESIDE = "".join(
    rf"(?<!\b{word} )" for word in words("under behind with before of round around beneath beside for")
)
PRONOUNS = re.compile(
    rf"\b(?:(?P<subject>s?he(?:['’](?:s|d|ll))?)|(?P<object>(?=him){_NOT_BESIDE}him)|(?P<owner>his)|(?P<either>(?=her){_NOT_BESIDE}her)"
    r"|(?P<other>(?:the other (?:one|man|woman|fellow|fighter|boxer|guy|girl|lady|chap)|(?:his|her|the) (?:opponent"
    r"|rival|foe)"
    r"|(?:his|her) man)(?:['’]s)?))(?![\w'’])",
    re.IGNORECASE,
)
BEHIND_OBJECTS = frozenset(
    words("""
    back down up off out over away again onto clean cleanly flush hard round around twice once coming going with on
    upstairs downstairs inside outside backwards forward forwards across through good properly right straight
""")
)
"""Content words that stand behind one to whom a thing is done: after "her" they are no noun."""
BEFORE_SUBJECTS = frozenset(
    words("""
    and but then now again so here this time when as while for once at last first still because after before having
    though although since that there's that's right ah oh ooh okay well um uh yeah no just
""")
)
"""Words that may open a clause before the one who acts in it."""
BESIDE = frozenset(words("a an the and again it is was it's this that one by there from with yes no does did for"))
"""Words that leave a name alone: "Low kick, Iversholm, nowhere near"."""
SUBJECT_AHEAD = r"\b(?=s?he(?:['’](?:s|d|ll))?\b)" + "".join(rf"(?<!\b{word} )" for word in sorted(BEFORE_SUBJECTS))
"""A pronoun that begins a clause by itself, as running speech has it: she doesn't take the bait she goes underneath."""
OFFICIALS = any_of(
    r"referee ref corner trainer doctor judges? crowd commentators? timekeeper bell cut\W?man coach cornerm[ae]n"
)
"""Who acts in a clause and is no fighter."""
OFFICIAL = re.compile(rf"\W*(?:the |a |her |his )?{OFFICIALS}", re.IGNORECASE)
ASKING = frozenset(
    words("told tells tell telling asked asks ask asking reminds reminded lets let makes made wants wanted")
)
"""Right before the name of one who does not act yet."""
SENDER, OWNER = "from", "of"
"""Before the name of one whose punch was named before: a right hand from Corvale, the left of Corvale."""
BEFORE_NO_NAME = (DETERMINERS - {"the"}) | frozenset(words("this these those some any every each another"))
"""Right before a word they say that it is no name."""
WHO_ACTS = frozenset(words("i we he she they"))
"""Right before a verb, and so before no name; a recogniser may have put a stop between."""
BEHIND_A_NAME = frozenset(
    words("""
    is was has had does did can could will would should may might must isn't wasn't hasn't doesn't didn't can't won't
    just never still always only already almost nearly and who who's
""")
)
"""Words that often follow a name, and seldom another noun."""
AWAY = frozenset(words("away off out back"))
"""Before `from`, where it does not name the sender."""
PREPOSITIONS = frozenset(
    words("""
    on against at to past into in for with from of off over under behind round around between after beneath through
    before than near beside inside outside towards toward
""")
)
"""Right before a name they make it that of one who does not act in the clause."""
