"""What notes and talk are read by: who did what, how it came out, and what may have been misheard."""

from fightnotes.language.english.acting import *  # noqa: F403
from fightnotes.language.english.body import *  # noqa: F403
from fightnotes.language.english.outcomes import *  # noqa: F403
from fightnotes.language.english.parts_played import *  # noqa: F403
from fightnotes.language.english.speech import *  # noqa: F403
from fightnotes.language.english.talk import *  # noqa: F403
