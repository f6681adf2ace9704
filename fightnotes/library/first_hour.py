"""A library begun, talks drafted as notes, and what is understood of it all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.index.progress import Progress
    from fightnotes.starting.draft import Drafting
    from fightnotes.starting.overview import Overview
    from fightnotes.starting.plan import Beginning
    from fightnotes.starting.questions import Question
    from fightnotes.starting.survey import Survey
    from fightnotes.starting.talk_bout import TalkSurvey
    from fightnotes.starting.talks import Talk


class FirstHour(Opened):
    """`start`, `draft` and `check`."""

    def survey(self, progress: Progress | None = None) -> Survey:
        """What the folder holds, and what of it no bout has yet; `plan_beginning` makes a library of it."""
        from fightnotes.index.progress import Silent
        from fightnotes.reading.library import read_bouts, read_configuration
        from fightnotes.starting.survey import survey_of

        configuration = read_configuration(self.root)
        bouts = read_bouts(self.root, configuration)
        return survey_of(self.root, configuration.settings, bouts, Silent() if progress is None else progress)

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

    def talk(self, path: Path) -> Talk:
        """A caption file, by its path from the current folder or from the library's.

        Raises UsageError for one outside the library or of another kind, UnreadableFile.
        """
        from fightnotes.starting.talks import find_talk

        return find_talk(self.root, path)

    def survey_talk(self, talk: Talk) -> TalkSurvey:
        """What is known of a talk that no bout names; `plan_first_draft` begins its bout. Raises UsageError."""
        from fightnotes.starting.talk_bout import survey_talk

        return survey_talk(talk)

    def talk_questions(self, found: TalkSurvey, answers: Mapping[str, str]) -> tuple[Question, ...]:
        """What the talk alone does not tell and `answers`, by key, do not either; each with a guess."""
        from fightnotes.starting.talk_bout import questions_of_talk

        return questions_of_talk(found, answers)

    def talk_answers(self, found: TalkSurvey, given: Iterable[tuple[str, str]]) -> dict[str, str]:
        """Answers by key as they are kept; a key may go without the talk's file. Raises UsageError."""
        from fightnotes.starting.talk_bout import read_talk_answers

        return read_talk_answers(found, given)

    def plan_draft(self, talk: Talk, to: Path | None = None, keep: bool = False) -> Drafting:
        """The notes of a talk that a bout names, in a new file that the bout names in its place, or beside it with
        `keep`; `apply` makes its plan. Raises UsageError, UnreadableFile.
        """
        from fightnotes.starting.draft import plan_draft
        from fightnotes.starting.talks import notes_within

        return plan_draft(talk, notes_within(self.root, to), keep)

    def plan_first_draft(
        self, found: TalkSurvey, answers: Mapping[str, str] | None = None, to: Path | None = None, keep: bool = False
    ) -> Drafting:
        """The same of a talk that no bout names, with its bout. Raises UsageError, UnreadableFile."""
        from fightnotes.starting.draft import plan_first_draft
        from fightnotes.starting.talks import notes_within

        return plan_first_draft(found, answers or {}, notes_within(self.root, to), keep)

    def check(self, progress: Progress | None = None) -> Overview:
        """What is understood of the library, in numbers; needs no index."""
        from fightnotes.index.layout import Layout
        from fightnotes.index.progress import Silent
        from fightnotes.starting.overview import overview_of
        from fightnotes.starting.survey import survey_of

        reading = self.read()
        survey = survey_of(self.root, reading.settings, reading.bouts, Silent() if progress is None else progress)
        return overview_of(reading, survey, Layout(self.root).manifest.exists())
