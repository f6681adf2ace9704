"""English: every list and pattern of its words that texts are read by. Another language has a module of these names.

What stands here is what a query needs, too; the other modules are loaded where they are asked for. How the words are
used stands where they are used. The lists are our own, from common practice, where no source is named.
"""

from fightnotes.language.english.content import *  # noqa: F403
from fightnotes.language.english.named import *  # noqa: F403
from fightnotes.language.english.undone import *  # noqa: F403
