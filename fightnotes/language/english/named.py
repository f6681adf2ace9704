"""What the words around a name tell of its part, in queries as in notes."""

from __future__ import annotations

import re

from fightnotes.language.english.forms import any_of, words

AGENT = "by"
TOWARDS = frozenset(words("on against at to past into"))
"""Before the name of one who is acted on."""
JOINING = frozenset(words("and or v vs versus"))
"""Between the names of two who have the same part."""
CLAUSE_JOINERS = any_of("and when as")
"""They open a clause with a part for each name, and a denial reaches over them all the same."""
PARTICIPLE = (
    r"(?:(?!settled|interested|tired|pleased|finished|gone|supposed|expected|rewarded|done)\w+ed|beat|beaten|bent"
    r"|caught"
    r"|cut|driven|felt|hit|hkd|hurt|made to|met|put|sent|shaken|struck|stung|swept|taken|thrown|told off|walked on)"
)
BE = r"(?:is|was|are|were|gets|got|being|been|(?:has|have|had|['’]s) been|['’]s)"
PASSIVE = re.compile(
    rf"\W*(?:{BE}\s+(?:\w+ly\s+|then\s+|again\s+|just\s+)?{PARTICIPLE}\b|{PARTICIPLE}\s+by\b"
    r"(?!\s+(?:\w+\s+){1,2}?(?:mile|miles|foot|feet|yards?|inch|inches|way|distance|metres?)\b))",
    re.IGNORECASE,
)
