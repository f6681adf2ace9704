"""What looks like a time or a round's clock and is none: told with what to write, so that it is not taken for words."""

import re

from .faults import ClockError
from .notation import Habits, is_decimal, is_height, read_point, read_primes
from .signs import narrow

_SIGNS = re.compile(r"(?:[~≈@] ?)+")
_MEANT = "if a time is meant"
_HEIGHT = "a word before it, if it is a height"
_NUMBER = "a word before it, if it is a number"
_TIGHT_DASH = re.compile(r"[-–—−+](?P<time>[0-9]{1,3}:[0-5][0-9])(?![0-9])")
_GAP = re.compile(r"(?P<m>[0-9]{1,3})(?: ?: | :)(?P<s>[0-5][0-9])(?![\w:])(?! ?[ap]\.?m\b)", re.IGNORECASE)
_WRONG_KEY = re.compile(r"(?P<m>[0-9]{1,3})[;](?P<s>[0-5][0-9])(?!\w)")
_GLUED = re.compile(r"[0-9]{1,3}:(?![0-9]+ ?[ap]\.?m\b)(?=[0-9]|[OolI]\w?\b)\w*[^\W\d_]\w*", re.IGNORECASE)
_HOURS = re.compile(r"(?P<h>[0-9]{1,2})h(?P<m>[0-5][0-9])(?!\w)", re.IGNORECASE)
_SHORT_PRIMES = re.compile(r"(?P<m>[0-9]{1,3})['’′](?P<s>[0-9])(?:''|[\"”″])(?!\w)")
_NO_COLON = re.compile(
    r"(?P<round>(?:round|rnd|rd|r)\.? ?[0-9]{1,2})[ ,@]+(?P<m>[0-9]{1,2})(?P<s>[0-5][0-9])(?![\w:.])", re.IGNORECASE
)
_OTHER_ROUND = re.compile(
    r"(?P<n>[0-9]{1,2})(?:\.|e|er|re|ère|ème|º|ª|°)? ?"
    r"(?:R|rd|rnd|round|ronde|runde|asalto|assalto|ripresa|reprise)\b\.?"
    r" ?[,:@-]? ?(?P<time>[0-9]{1,2}[:.'’′][0-9]{2}[\"”″]?)(?!\w)",
    re.IGNORECASE,
)
_ROUND_SECONDS = re.compile(
    r"(?P<round>(?:round|rnd|rd|r)\.? ?[0-9]{1,2})[ ,@]+(?P<n>[0-9]{1,3}) ?s(?:ecs?)?\b(?! of\b)", re.IGNORECASE
)
_NTH_POINT = re.compile(r"(?P<n>[0-9]{1,2})(?:st|nd|rd|th) (?P<m>[0-9]{1,2})\.(?P<s>[0-5][0-9])(?!\w)")
_COMMA = re.compile(r"(?P<m>[0-9]{1,3}),(?P<s>[0-5][0-9])(?![\w%,.:]| ?(?:cm|mm|m|kg|lbs?|km|%|€))")
_OTHER_DIGITS = re.compile(r"(?=[0-9:]*[^\x00-\x7f])\d{1,3}:\d\d(?!\w)")
_USUAL = Habits()


def refuse_near_time(text: str, position: int = 0, habits: Habits = _USUAL) -> None:
    """Raises ClockError, with its position, where something begins that is meant as a time, or may be, and is none."""
    plain = narrow(text)
    signs = _SIGNS.match(plain, position)
    position = signs.end() if signs else position
    for pattern, form in _FORMS:
        if match := pattern.match(plain, position):
            raise ClockError(match[0], form.format(**match.groupdict()), position)
    primes, short = read_primes(plain, position), _SHORT_PRIMES.match(plain, position)
    if primes is not None and is_height(primes["m"], primes["s"]):
        raise ClockError(primes[0], f"{primes['m']}:{primes['s']}, {_MEANT}; {_HEIGHT}", position)
    if short is not None and (habits.primes or not is_height(short["m"], short["s"])):
        raise ClockError(short[0], f"{short['m']}:0{short['s']}, {_MEANT}; {_HEIGHT}", position)
    point = read_point(plain, position)
    if point is not None and int(point["s"]) < 60:
        raise ClockError(point[0], f"{point['m']}:{point['s']}, {_MEANT}; {_NUMBER}", position)
    if habits.points and is_decimal(plain, position):
        number = plain[position : position + 7].split()[0]
        raise ClockError(number, f"minutes and seconds, such as 0:58, {_MEANT}; {_NUMBER}", position)


_FORMS = (
    (_TIGHT_DASH, f"a space between dash and time, or no dash: {{time}}, {_MEANT}"),
    (_GAP, f"{{m}}:{{s}}, {_MEANT}"),
    (_WRONG_KEY, f"{{m}}:{{s}}, {_MEANT}"),
    (_GLUED, f"a time such as 4:05 and a space behind it, {_MEANT}"),
    (_HOURS, f"{{h}}:{{m}}:00 or {{h}}h{{m}}m, {_MEANT}"),
    (_NO_COLON, f"{{round}} {{m}}:{{s}}, {_MEANT}"),
    (_OTHER_ROUND, f"R{{n}} and a clock such as 0:41, {_MEANT}"),
    (_ROUND_SECONDS, f"{{round}} and a clock such as 0:41, {_MEANT}"),
    (_NTH_POINT, f"R{{n}} {{m}}:{{s}}, {_MEANT}"),
    (_COMMA, f"{{m}}:{{s}}, {_MEANT}"),
    (_OTHER_DIGITS, "digits from 0 to 9"),
)
