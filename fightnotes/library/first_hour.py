"""A library begun, and what is understood of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.index.progress import Progress
    from fightnotes.starting.overview import Overview
    from fightnotes.starting.plan import Beginning
    from fightnotes.starting.questions import Question
    from fightnotes.starting.survey import Survey


class FirstHour(Opened):
    """`start` and `check`."""

    def survey(self, progress: Progress | None = None) -> Survey:
        """What the folder holds, and what of it no bout has yet; `plan_beginning` makes a library of it."""
        from fightnotes.index.progress import Silent
        from fightnotes.reading.library import read_bouts, read_configuration
        from fightnotes.starting.survey import survey_of

        configuration = read_configuration(self.root)
        bouts = read_bouts(self.root, configuration)
        return survey_of(self.root, configuration.settings, bouts, progress or Silent())

    def start_questions(self, survey: Survey, answers: Mapping[str, str]) -> tuple[Question, ...]:
        """What the files alone do not tell and `answers`, by key, do not either; each with a guess."""
        from fightnotes.starting.plan import questions_of

        return questions_of(survey, answers)

    def start_answers(self, survey: Survey, given: Iterable[tuple[str, str]]) -> dict[str, str]:
        """Answers by key as they are kept. Raises UsageError for a key that asks nothing, or an answer that is none."""
        from fightnotes.starting.plan import read_answers

        return read_answers(survey, given)

    def plan_beginning(self, survey: Survey, answers: Mapping[str, str] | None = None) -> Beginning:
        """`library.yaml` and front matter for what was surveyed; `apply` makes its plan. Raises UnreadableFile."""
        from fightnotes.starting.plan import plan_beginning

        return plan_beginning(survey, answers or {})

    def check(self, progress: Progress | None = None) -> Overview:
        """What is understood of the library, in numbers; needs no index."""
        from fightnotes.index.layout import Layout
        from fightnotes.index.progress import Silent
        from fightnotes.starting.overview import overview_of
        from fightnotes.starting.survey import survey_of

        reading = self.read()
        survey = survey_of(self.root, reading.settings, reading.bouts, progress or Silent())
        return overview_of(reading, survey, Layout(self.root).manifest.exists())
