"""English words that no term begins or ends with: the function words, and the commonest verbs and adverbs.

Compiled by hand from common practice, no source. Words of place and direction that are terms of the trade
in part ("under", "over", "off", "inside", "back", "down") are kept out of the list on purpose.
"""

from __future__ import annotations

from fightnotes.language.words import FUNCTION_WORDS

_MORE = """
    both either another two three first second third next last few many less least several enough lot lots bit
    mine myself yours yourself himself herself ours ourselves theirs themselves whoever onto upon like against
    between among across along around during since until till per via toward towards yet whenever wherever
    whether though although unless once now again ever always often sometimes still already only even quite
    rather almost nearly maybe perhaps really well away far else instead shall may might must ought got go
    went gone come comes came coming make makes made making take takes took taking keep keeps kept see sees
    saw seen look looks looked looking try tries tried trying want wants wanted say says said think thinks
    thought know knows knew give gives gave yes ok okay i'm i've i'll you're you've it's he's she's we're
    they're that's there's isn't aren't wasn't weren't don't doesn't didn't won't wouldn't couldn't shouldn't
    hasn't haven't hadn't
"""

STOP_WORDS = FUNCTION_WORDS | frozenset(_MORE.split())
