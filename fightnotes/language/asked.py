"""What there is when somebody asks, in the language that is spoken: the names of `english.questions`."""

from fightnotes.language.english.questions import *  # noqa: F403
