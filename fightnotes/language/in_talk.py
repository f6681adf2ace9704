"""What there is when somebody talks, in the language that is spoken: the names of `english.running_speech`."""

from fightnotes.language.english.running_speech import *  # noqa: F403
