"""Who acts and who is acted on, as the words around the names in a text tell.

"Corvale hooks" acts; one named behind "on" or "against", as the second of "Brandaal counters Corvale", or with a
passive ("Corvale is hurt") is acted on. The rules are our own, for the short sentences of queries and notes.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

from fightnotes.language import spoken
from fightnotes.language.names import NamePlace
from fightnotes.language.words import is_content, words_of

Role = Literal["acts", "is acted on"]

_CLAUSE_MARK = re.compile(rf"[,.;:!?]|{spoken.CLAUSE_OPENERS}|{spoken.CLAUSE_JOINERS}", re.IGNORECASE)


def roles_of(places: Sequence[NamePlace], text: str) -> list[Role]:
    """The part of each fighter named, in the order of `places`, which is that of the text."""
    roles: dict[tuple[int, int], Role] = {}
    stop, role_before = 0, None
    for begin, end in sorted({(place.begin, place.stop) for place in places}):  # fighters may share a form
        role_before = _role(text, stop, begin, end, role_before)
        roles[begin, end] = role_before
        stop = end
    return [roles[place.begin, place.stop] for place in places]


def _role(text: str, after: int, begin: int, stop: int, role_before: Role | None) -> Role:
    """Of the name `text[begin:stop]`; the one before it ends at `after` and has the part `role_before`."""
    before, name = text[after:begin], text[begin:stop]
    words = [word.text.casefold() for word in words_of(before)]
    last = words[-1] if words else ""
    if last == spoken.AGENT:
        return "acts"
    if last in spoken.TOWARDS or spoken.PASSIVE.match(text, stop):
        return "is acted on"
    if role_before and spoken.JOINING.issuperset(words):
        return role_before
    if name.endswith(spoken.POSSESSIVE):
        return "acts"
    told_by_verb = any(is_content(word) for word in words) and not _CLAUSE_MARK.search(before)
    return "is acted on" if role_before == "acts" and told_by_verb else "acts"
