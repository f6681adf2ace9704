"""English: every list and pattern of its words that texts are read by. Another language has a module of these names.

How they are used stands where they are used. The lists are our own, from common practice, where no source is named.
"""

from fightnotes.language.english.acting import *  # noqa: F403
from fightnotes.language.english.body import *  # noqa: F403
from fightnotes.language.english.content import *  # noqa: F403
from fightnotes.language.english.outcomes import *  # noqa: F403
from fightnotes.language.english.parts_played import *  # noqa: F403
from fightnotes.language.english.speech import COMMON_WORDS as COMMON_WORDS
from fightnotes.language.english.speech import DOUBLED as DOUBLED
from fightnotes.language.english.speech import LETTERS as LETTERS
from fightnotes.language.english.speech import SPELT as SPELT
from fightnotes.language.english.speech import plural as plural
from fightnotes.language.english.talk import *  # noqa: F403
from fightnotes.language.english.undone import *  # noqa: F403
