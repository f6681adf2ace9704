"""What notes and talk are read by, in the language that is spoken: a module with the names of `english.notes`."""

from fightnotes.language.english.notes import *  # noqa: F403
