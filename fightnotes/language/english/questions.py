"""English as it asks: by which words a question tells what it wants to know.

Another language has a module of these names, too. The lists are our own,
from common practice.
"""

from __future__ import annotations

import re

_PUNCTUATION_FREE = r"[^.?!;]{0,120}?"
"""What may stand between two words of a question; bounded, so that no text takes long."""


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


def _one(*words: str) -> re.Pattern[str]:
    """Pattern of words or short phrases, one of which has to stand there whole."""
    return re.compile(rf"(?<![\w'’-])(?:{'|'.join(words)})(?![\w'’-])", re.IGNORECASE)


_HIM = r"(?:him|her|them|me|you|us)"
_OFTEN = "(?:usually |often |mostly |then |normally |(?:tends?|likes?) to )*"
_RIGHT = "(?:right |straight |just |directly |immediately )?"
_ITS = "(?:its|their|his|her|the|any|some)"
_CONTEST = r"(?:fights?|bouts?|contests?|rounds?|nights?|match)"

PRONOUNS = _one("he", "him", "his", "himself", "she", "her", "hers", "herself", "they", "them", "their", "theirs")
"""They stand for a fighter who is not named."""

GROWING = _one(
    "more and more", "ever more", "more frequent", "commoner", r"increas\w+", "grow(?:s|n|ing)?", "grew", "rose",
    "ris(?:e|es|en|ing)", "go(?:es|ing)? up", "went up", "ramp(?:s|ed|ing)? up", "pick(?:s|ed|ing)? up",
    "build(?:s|ing)? up", r"climb\w*",
)  # fmt: skip
SHRINKING = _one(
    "less and less", "fewer and fewer", "ever less", "rarer", "(?:less|more in)frequent", r"decreas\w+", r"declin\w+",
    "fad(?:e|es|ed|ing)", "dr(?:y|ies|ied|ying) (?:up|out)", "drop(?:s|ped|ping)? (?:off|away|it|them)",
    "f(?:a|e)ll(?:s|ing)? (?:off|away)", "tail(?:s|ed|ing)? (?:off|away)", "go(?:es|ing)? down", "went down",
    r"abandon\w*", "g(?:i|a)ve(?:s|n)? up", "waning", r"shelv\w+", r"peter\w* out", r"disappear\w*", r"vanish\w*",
    "stop(?:s|ped|ping)? (?:doing|using|throwing|taking|trying|working|coming)",
)  # fmt: skip
IMPROVING = _one(
    "better and better",
    "get(?:s|ting)? (?:any )?(?:better|sharper)",
    r"improv\w+",
    "got better",
    "more and more effective",
)
WORSENING = _one(
    "worse and worse", "get(?:s|ting)? (?:any )?worse", "got worse", r"deteriorat\w+", "less effective",
    "w(?:ea|o)re? off",
    rf"los(?:e|es|ing|t) (?:{_ITS} )?(?:effect|edge|sting|bite|power|surprise)", "f(?:i|ou)nd(?:s)? out", "figured out",
)  # fmt: skip
MORE, LESS = _one("more", "more often", "oftener"), _one("less", "fewer", "less often")
AS_TIME_GOES = _one(
    rf"as (?:the |a |his |her )?(?:{_CONTEST}|time)", "late", "later", "towards? the end", "by the end", "with time",
    rf"(?:over|through|across|during|throughout) (?:the |a |his |her )?(?:course|{_CONTEST}|time|years?|months?)",
    rf"(?:each|every) {_CONTEST}", rf"{_CONTEST} (?:by|after|to|on) {_CONTEST}", "down the stretch", "second half",
)  # fmt: skip
"""With one of MORE or LESS they tell of a trend."""
CHANGING = _one(
    "trends?", "chang(?:e|es|ed|ing)", r"develop\w*", r"evolv\w*", rf"{_CONTEST} (?:by|after) {_CONTEST}",
    "hold(?:s|ing)? up", "held up", "keeps? (?:it )?up", "kept (?:it )?up",
)  # fmt: skip
OVER_DAYS = _one(
    "over the years", "over time", "across the years", r"year (?:by|after|on|to) year", r"careers?", "lately",
    "nowadays",
    r"(?:from )?(?:fights?|bouts?) (?:by|after|to) (?:fights?|bouts?)",
    "(?:across|over|through) (?:the|his|her|their|all) (?:bouts|fights)",
)  # fmt: skip
"""A trend from bout to bout, and not over the rounds."""

SUCCESS = _one(
    "work(?:s|ed|ing)?", r"succe(?:ss|ed)\w*", r"effect\w*", "land(?:s|ed|ing)?",
    "pa(?:y|ys|id|ying) (?:off|dividends)",
    "(?:come|comes|came|coming) off", "any (?:good|use|joy)", "how (?:good|well)", "g(?:e|o)ts? through", "useful",
    r"connect\w*", "scor(?:e|es|ed|ing)", "percentage", "per cent", "what share", "hit rate", "fail(?:s|ed|ing)?",
    "(?:do|does|did|doing) (?:anything|nothing|damage|much)", "(?:good|bad) idea", r"reliab\w+", r"accura\w+",
    "worth (?:it|doing|using|anything|the)", "better of", r"efficien\w+", r"convert\w*", r"pays?(?! \w)", "good at",
)  # fmt: skip
COST = _one(
    "cost(?:s|ing)?", rf"punish(?:es|ed|ing)?(?: {_HIM})?", "pa(?:y|ys|id|ying) (?:a price |dearly |the price )?for",
    r"(?:get|gets|got|getting|is|was|are|were|been|being)(?: \w+ly| #+)* "
    "(?:hit|hurt|caught|countered|tagged|punished|dropped|timed|nailed)",
    rf"le(?:ave|aves|aving|ft) (?:{_HIM}|{_HIM}sel(?:f|ves)|himself)? ?open", rf"walk(?:s|ed|ing)?(?: {_HIM})? into",
    r"backfir\w+", "expensive", rf"(?:gets?|got|getting|lands?|put) (?:{_HIM}|#+) in(?:to)? trouble", "risky", "price",
    "dangerous",
)  # fmt: skip
"""That the one who does it pays for it."""

BEFORE = _one(
    f"what {_OFTEN}(?:sets?|setting) up", f"how (?:do|does|did) {_PUNCTUATION_FREE} set up",
    f"what {_OFTEN}(?:comes?|came|goes|went|happens?|happened|is|was|stands?) (?:right |just )?before",
    f"what (?:do|does|did) {_PUNCTUATION_FREE} before", f"what {_OFTEN}(?:leads?|led) (?:up )?to", r"preced\w+",
    f"what {_OFTEN}(?:makes?|made|causes?|caused|triggers?|triggered|draws?|drew|brings?|brought)",
)  # fmt: skip
AFTER = _one(
    f"what {_OFTEN}follow(?:s|ed)?", "follow(?:s|ed)? (?:it )?up", "what next", "then what", "what then",
    f"what {_OFTEN}(?:comes?|came|happens?|happened|goes) {_RIGHT}(?:next|after|behind|off|when|once|then)",
    f"what (?:do|does|did) {_PUNCTUATION_FREE} (?:next|after|when|once|behind|off|lead to|set up)",
    f"what (?:is|was|are) {_PUNCTUATION_FREE} followed by", f"follow(?:s|ed|ing)? {_PUNCTUATION_FREE} (?:with|by)",
    f"(?:after|once) {_PUNCTUATION_FREE} what (?:do|does|did|comes?|happens?)",
)  # fmt: skip
WHO = re.compile(
    r"(?:^\W*(?:(?:and|so|but) )?|, |\bbetween\b.{0,120}\b)"
    r"(?:who(?:se)?\b|which (?:of|one|fighter|boxer|corner|man|woman)\b)",
    re.IGNORECASE,
)
MOST = _one(
    "more", "most", "better", "best", "oftener", "less", "fewer", "least", "higher", "often", "busier", "busiest"
)
BETTER = _one("better", "best", "worse", "worst")
"""In a question of who, they ask for success."""
MORE_THAN = re.compile(r"\b(?:more|less|better|fewer)\b[^.?!;]{0,120}\bthan\b", re.IGNORECASE)
WHEN = re.compile(
    r"^\W*(?:(?:and|so|but) )?when\b|\b(?:which|what) (?:rounds?|stage|part|point)\b|\bearly or (?:a |an )?late\b"
    r"|\bfrom the (?:start|off|beginning|first bell)\b|\blate or (?:a |an )?early\b|\bhow (?:early|late|soon)\b",
    re.IGNORECASE,
)
HOW_OFTEN = _one(
    "how often", "how many", "how much", r"how frequent\w*", r"how regular\w*", "how rare(?:ly)?", "how common",
    "number of", "count", "a lot", "ever", "often",
)  # fmt: skip
WHETHER = re.compile(r"^\W*(?:(?:and|so|but) )?(?:do|does|did|is|was|are|were|has|have|had|will|can)\b", re.IGNORECASE)
"""A question for yes or no: of something that has a name, whether it is done at all."""
DOING = frozenset(
    _words("""
    use uses used using throw throws threw throwing take takes took taking do doing make makes made making go goes went
    going come comes came coming try tries tried trying show shows showed showing there really actually still again bout
    fight fights round rounds like likes lot
""")
)
"""Words that tell of no more than that something is done: a yes or no question with others asks for something else."""

ROUNDS = re.compile(
    r"\b(?:rounds?|r|rd)\.? ?(?P<first>\d{1,2})(?:\s?(?:-|–|to|through|and)\s?(?P<last>\d{1,2}))?\b", re.IGNORECASE
)

RANGE_LABELS = ("range", "distance", "ranges", "distances")
"""Labels under which a vocabulary puts how far apart the fighters are."""
