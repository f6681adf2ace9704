"""Words that carry no content, and how a word is cut to its stem."""

from __future__ import annotations

import Stemmer

from fightnotes.language.english.forms import words

STEMMER = Stemmer.Stemmer("porter")
"""The Porter algorithm (Porter 1980), as SQLite's FTS5 has it."""
TOKENIZER = "porter unicode61 remove_diacritics 2"
"""How FTS5 stems the same texts: both must make one stem of a word."""
POSSESSIVE = ("'s", "’s")
INFLECTIONS = ("s", "ed", "ing")
"""Endings that make of a verb the form in which a note tells what was done: lands, landed, landing."""
DEGREES = ("r", "er", "st", "est", "ly")
"""Endings of comparatives and adverbs, which the stemmer leaves on."""


DETERMINERS = frozenset(words("a an the his her their its my your our"))
"""Articles and possessives: whoever writes "showing his chin" says "showing the chin"."""

FUNCTION_WORDS = DETERMINERS | frozenset(
    words("""
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

PARTING = frozenset(words("and or nor but then so while before after not no never without neither none than"))
"""Function words that make two things of what stands on their two sides, or deny one: no label runs over them."""

STOP_WORDS = FUNCTION_WORDS | frozenset(
    words("""
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
direction that are terms of the trade in part ("under", "over", "of", "inside", "back", "down") are not among them."""

INSIDE_TERMS = frozenset(words("of to the"))
"""Stop words that may stand inside a term."""
EMPTY_VERBS = words("""
    throw throws throwing thrown threw put puts send sends sent bring brings brought start starts started stop
    stops begin begins began leave leaves stand stands stood stay stays let lets feel feels felt hear hears
    heard need needs tell tells told mean means call calls called
""")
"""They take any object, so that with it they name nothing."""
SPANS_OF_TIME = words("""
    round rounds second seconds minute minutes half bell fight bout night tape camera film
""")
