"""A library, held open: one method for each thing that can be done with it. Prints nothing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import nullcontext
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import LibraryNotFound, StoreError, UsageError

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.audit.finding import AuditReport
    from fightnotes.audit.rules import Rule
    from fightnotes.cutting import Arrangement, Assembly, BurntIn, ReelForm, Rendered, Selection
    from fightnotes.editing.plan import Plan
    from fightnotes.index.build import BuildReport
    from fightnotes.index.progress import Progress
    from fightnotes.index.store import Store
    from fightnotes.model import Concept, Moment, Segment
    from fightnotes.proposing.proposal import Proposal, ProposalKind
    from fightnotes.reading.library import LibraryReading
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found
    from fightnotes.starting.overview import Overview
    from fightnotes.starting.plan import Beginning
    from fightnotes.starting.questions import Question
    from fightnotes.starting.survey import Survey
    from fightnotes.suggesting.suggest import MarkKind, TagSuggestion
    from fightnotes.suggesting.suggestion import Suggestion
    from fightnotes.vocabulary.edits import LibraryText, TagPlace
    from fightnotes.vocabulary.usage import Branch


def open_library(path: str | Path) -> Library:
    """The library in a folder, which need not hold anything yet. Raises LibraryNotFound where there is no folder."""
    return Library(Path(path))


def nearest_library(folder: Path) -> Library:
    """The library that a folder lies in: it or the nearest above it with a `library.yaml`. Raises LibraryNotFound."""
    from fightnotes.reading.library import find_root

    return Library(find_root(folder))


def folder_to_start(named: Path | None) -> Library:
    """The folder to make a library of: the one named, else the nearest library, else the current folder.

    Raises LibraryNotFound where there is no such folder, UsageError for one that lies inside a library.
    """
    library = Library(named or Path.cwd())
    try:
        around = nearest_library(library.root)
    except LibraryNotFound:
        return library
    if named is not None and around.root != named.resolve():
        raise UsageError(f"{named} lies inside the library {around.root}: start that one")
    return around


def audit_rules() -> tuple[Rule, ...]:
    """The rules of the audit, in the order in which they run."""
    from fightnotes.audit.rules import RULES

    return RULES


def export_names() -> tuple[str, ...]:
    """The formats in which a cut list can be written."""
    from fightnotes.cutting import EXPORTS

    return tuple(known.name for known in EXPORTS)


class Library:
    """Reads the text files it is asked about when it is asked; the index stays open from the first query on."""

    def __init__(self, root: Path) -> None:
        if not root.is_dir():
            raise LibraryNotFound(f"there is no folder {root}")
        self._root = root.resolve()
        self._notices: dict[str, None] = {}

    @property
    def root(self) -> Path:
        """The library's folder. A change that a killed run left half made is settled before anyone goes there."""
        from fightnotes.editing.journal import settle

        self._notices |= dict.fromkeys(settle(self._root))
        return self._root

    def take_notices(self) -> tuple[str, ...]:
        """What became of changes that were cut off, and what a person must do about them, since last asked."""
        _ = self.root
        taken, self._notices = tuple(self._notices), {}
        return taken

    @cached_property
    def store(self) -> Store:
        """The index as the last build left it. Raises StoreMissing, StoreOutdated or StoreTorn."""
        from fightnotes.index.store import Store

        return Store(self.root)

    def read(self) -> LibraryReading:
        """All that the text files say now, without the index."""
        from fightnotes.reading.library import read_library

        return read_library(self.root)

    def lines_of(self, file: str) -> list[str]:
        """The lines of a text file of the library as they stand now, without endings. Raises UnreadableFile."""
        from fightnotes.editing.line_edit import lines_of, read_exact

        return [line.rstrip("\r\n") for line in lines_of(read_exact(self.root / file))]

    # The first hour

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

    def build(self, progress: Progress | None = None) -> BuildReport:
        """Brings the index up to date; what is wrong in the files is in the report."""
        from fightnotes.index.build import build

        report = build(self.root, progress)
        self.__dict__.pop("store", None)  # the next query opens the new one
        return report

    def changes(self) -> Iterator[tuple[str, ...]]:
        """First nothing, when the watching has begun; then, each time, which text files changed. Never ends."""
        from fightnotes.index.watching import changes

        return changes(self.root)

    def notices(self) -> tuple[str, ...]:
        """What a person has to know beside any answer: an index older than the files, a vocabulary without concepts."""
        from fightnotes.reading.file_names import VOCABULARY_FILE

        try:
            changed, vocabulary = self.store.changed_files(), self.store.vocabulary
        except StoreError:  # whoever needs the index says so
            from fightnotes.reading.library import read_configuration

            changed, vocabulary = [], read_configuration(self.root).vocabulary
        others = [file for file in changed if file != VOCABULARY_FILE]
        notices = [f"files changed since the last build: {len(others)}; run `fightnotes build`"] if others else []
        if VOCABULARY_FILE in changed:
            notices.append("the vocabulary changed since the last build: run `fightnotes build`")
        elif not vocabulary.concepts:
            notices.append(
                "the vocabulary is empty: see `fightnotes propose` for terms of your own notes, "
                "`fightnotes vocabulary start` for plain words of the trade"
            )
        return tuple(notices)

    def find(
        self,
        query: str = "",
        filters: Filters | None = None,
        *,
        like: Sequence[str] = (),
        unlike: Sequence[str] = (),
        limit: int = 20,
        spread: bool = False,
    ) -> Found:
        """The moments that answer a query, best first. Raises StoreMissing before the first build.

        `like` and `unlike` are places of notes, `file:line`, that the moments are to be like, or not.
        """
        from fightnotes.search.filters import Filters
        from fightnotes.search.find import find

        chosen = filters or Filters()
        return find(self.store, query, chosen, like=like, unlike=unlike, limit=limit, spread=spread)

    def place_to_play(self, moment: Moment) -> tuple[Path, Fraction]:
        """The recording of a moment at hand, and the second where it begins there. Raises OpeningError."""
        from fightnotes.cutting.playing import place_to_play

        return place_to_play(moment, self.root, self.store.settings.media_roots)

    # Cutting

    def cut(self, selection: Selection, arrangement: Arrangement | None = None) -> Assembly:
        """A cut list of the moments selected, with the footage at hand for it. Raises as `cutting.cut` does."""
        from fightnotes.cutting import Arrangement, cut

        return cut(self.store, selection, arrangement or Arrangement())

    def export(self, assembly: Assembly, format: str) -> str:
        """The cut list as text in an open format. Raises UnknownName, and ExportError for what one file cannot hold."""
        from fightnotes.cutting import export

        return export(assembly.cut_list, format, assembly.media)

    def write_export(self, assembly: Assembly, path: Path, format: str | None = None) -> tuple[Path, ...]:
        """The same in a file, in the format of its ending unless one is named; gives the files written.

        They are several, beside `path`, where one cannot hold the list.
        """
        from fightnotes.cutting import export_files, format_of
        from fightnotes.editing.atomic import write_file

        texts = export_files(assembly.cut_list, format or format_of(path), assembly.media, path)
        for file in texts:
            assembly.may_write(file)
        for file, text in texts.items():
            write_file(file, text.encode())
        return tuple(texts)

    def save_list(self, assembly: Assembly, path: Path, *, force: bool = False) -> None:
        """The cut list as YAML to edit and to use again; one that was edited by hand is written over with `force`.

        Raises ExportError where there is nothing to save or the file may not be written.
        """
        assembly.save(path, force)

    def write_sheet(self, assembly: Assembly, path: Path) -> tuple[str, ...]:
        """A still of each cut; gives what did not come out as it should. Raises ExportError."""
        from fightnotes.cutting import contact_sheet

        assembly.may_write(path)
        return contact_sheet(assembly.cut_list.cuts, assembly.media, path)

    def render(
        self,
        assembly: Assembly,
        path: Path,
        burnt_in: BurntIn | None = None,
        *,
        form: ReelForm | None = None,
        copy: bool = False,
        progress: Progress | None = None,
    ) -> Rendered:
        """The reel of the cuts whose footage is at hand; those whose is not are told before work begins.

        `form` is its size, rate and quality. `copy` takes streams as they are stored: fast, and not exact. Raises
        ExportError where no footage is at hand, where ffmpeg fails, where it is not certain which frames a cut
        shows, and where sources that differ should be copied; UsageError for text or a form on copied streams.
        """
        from fightnotes.cutting import BurntIn, ReelForm, plan_render, render, stream_copy
        from fightnotes.index.progress import Silent

        text, told, shape = burnt_in or BurntIn(), progress or Silent(), form or ReelForm()
        if copy and text != BurntIn():
            raise UsageError("nothing can be burnt into copied streams: leave the text out, or render")
        if copy and shape != ReelForm():
            raise UsageError("copied streams keep their size, rate and quality: leave these out, or render")
        assembly.may_write(path)
        plan = plan_render(assembly.cut_list, assembly.media, shape)
        for sentence in plan.missing_notes:
            told.say(sentence)
        return stream_copy(plan, path, told) if copy else render(plan, path, text, told)

    # Changes: a plan is looked at, then made or not

    def diff(self, plan: Plan) -> list[str]:
        """The lines of a unified diff of what a plan would change. Raises UnreadableFile."""
        from fightnotes.editing.plan import diff_of

        return diff_of(self.root, plan.edits)

    def apply(self, plan: Plan) -> Path | None:
        """Makes all the edits of a plan, or none; gives the undo file, or None where nothing changes."""
        from fightnotes.editing.plan import apply_plan

        return apply_plan(self.root, plan)

    def plan_undo(self, file: Path | None = None) -> Plan:
        """What `undo` would change. Raises UsageError where there is nothing to take back, UnreadableFile."""
        from fightnotes.editing.plan import plan_undo

        return plan_undo(self.root, file)

    def undo(self, file: Path | None = None) -> str:
        """Takes back the change of an undo file, else the one made last; gives its title."""
        from fightnotes.editing.plan import take_back

        return take_back(self.root, file).title

    # Suggestions

    def suggest(
        self, *, above: float | None = None, bouts: Sequence[str] = (), limit: int | None = None
    ) -> tuple[TagSuggestion, ...]:
        """Tags that moments lack, of at least the probability `above` (0.5), the most probable first."""
        from fightnotes.suggesting.model import THRESHOLD
        from fightnotes.suggesting.rejected import read_rejections
        from fightnotes.suggesting.suggest import suggest

        least = THRESHOLD if above is None else above
        return suggest(self.store, threshold=least, bouts=bouts, limit=limit, rejected=read_rejections(self.root))

    def suggest_marks(
        self,
        *,
        above: float | None = None,
        bouts: Sequence[str] = (),
        only: MarkKind | None = None,
        limit: int | None = None,
    ) -> tuple[Suggestion, ...]:
        """Tags and fields that moments lack, or `only` one of them, the most probable first; as `suggest` else."""
        from fightnotes.suggesting.model import THRESHOLD
        from fightnotes.suggesting.rejected import read_rejections
        from fightnotes.suggesting.suggest import suggest_marks

        least, refused = THRESHOLD if above is None else above, read_rejections(self.root)
        return suggest_marks(self.store, threshold=least, bouts=bouts, only=only, limit=limit, rejected=refused)

    def plan_marks(self, wanted: Iterable[tuple[Segment, str]]) -> Plan:
        """The line edits that give moments tags, by id or label, or fields, as `key:value`; `apply` makes them.

        A tag for which the note's fields would hold wrongly is written with its own. Raises as `plan_taking`.
        """
        from fightnotes.editing.taking import Notes, plan_taking
        from fightnotes.suggesting.note_reader import NoteReader
        from fightnotes.suggesting.own_fields import own_fields

        store = self.store
        reader = NoteReader(store.bouts, store.vocabulary)
        notes = Notes(self.root, store.bouts, store.vocabulary, store.settings)
        return plan_taking(notes, wanted, lambda segment, concept, shared: own_fields(segment, concept, reader, shared))

    def plan_rejection(self, segment: Segment, name: str) -> Plan:
        """The line by which the library remembers that a moment is not to be suggested a concept or field again."""
        from fightnotes.suggesting.rejected import plan_rejection

        return plan_rejection(self.root, segment, name)

    def moment_now(self, segment: Segment) -> tuple[int, int]:
        """First and last line of a note's moment as its file stands now. Raises UnreadableFile where it is gone."""
        from fightnotes.editing.taking import Notes, lines_now

        store = self.store
        return lines_now(Notes(self.root, store.bouts, store.vocabulary, store.settings), segment)

    # The vocabulary

    def propose(self, limit: int | None = 20) -> tuple[Proposal, ...]:
        """What the vocabulary might take in: tags that were typed, then the weightiest. Raises StoreMissing."""
        from fightnotes.proposing.propose import propose
        from fightnotes.proposing.rejected_terms import read_rejected_terms
        from fightnotes.vocabulary.starter import starter_vocabulary

        rejected = read_rejected_terms(self.root)
        return propose(self.store, limit=limit, rejected=rejected, trade=starter_vocabulary())

    def plan_proposal(self, term: str, kind: ProposalKind | None = None, concept: str | None = None) -> Plan:
        """A proposal by its words, taken as proposed unless `kind` or `concept` say otherwise. Raises UnknownName."""
        from fightnotes.proposing.propose import proposal_of
        from fightnotes.vocabulary.proposal_edit import plan_proposal

        return plan_proposal(self.text(), proposal_of(self.propose(limit=None), term), kind, concept)

    def plan_term_rejection(self, term: str) -> Plan:
        """The line by which the library remembers that a proposal was refused. Raises UnknownName for none."""
        from fightnotes.proposing.propose import proposal_of
        from fightnotes.proposing.rejected_terms import plan_term_rejection

        return plan_term_rejection(self.root, proposal_of(self.propose(limit=None), term).term)

    def concept_tree(self, concept: str | None = None) -> tuple[Branch, ...]:
        """The concepts below each other with their uses; of one, by id or label, what is below it. UnknownName."""
        from fightnotes.vocabulary.usage import concept_tree

        reading = self.read()
        return concept_tree(reading.vocabulary, reading.segments, concept)

    def text(self) -> LibraryText:
        """What the plans for the vocabulary change: the files as they are now. Raises UnreadableFile."""
        from fightnotes.vocabulary.edits import library_text, vocabulary_text

        before = vocabulary_text(self.root)
        text = library_text(self.read())
        return text if text.vocabulary_text == before else self.text()  # it was changed while it was read

    def plan_start(self, parts: Iterable[str] = ()) -> Plan:
        """The starter vocabulary, or branches of it, beside what is there. Raises UnknownName."""
        from fightnotes.vocabulary.starter import plan_start

        return plan_start(self.text(), parts)

    def plan_concept(self, concept: Concept) -> Plan:
        """A new concept, behind its neighbours. Raises UsageError."""
        from fightnotes.vocabulary.edits import plan_concept

        return plan_concept(self.text(), concept)

    def plan_labels(self, concept: str, also: Iterable[str] = (), misheard: Iterable[str] = ()) -> Plan:
        """More labels for a concept. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_labels

        return plan_labels(self.text(), concept, also, misheard)

    def plan_merge(self, gone: str, into: str) -> Plan:
        """One concept into another, with its tags. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_merge

        return plan_merge(self.text(), gone, into)

    def plan_rename(
        self, concept: str, new_id: str | None = None, new_label: str | None = None, keep: bool = True
    ) -> Plan:
        """Another id or preferred label; with `keep` the old words stay as labels. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_rename

        return plan_rename(self.text(), concept, new_id, new_label, keep)

    def plan_split(self, concept: str, parts: Sequence[Concept], given: Mapping[TagPlace, str]) -> Plan:
        """New concepts below one; `given` says which part takes the tags at a place. Raises as `edits.plan_split`."""
        from fightnotes.vocabulary.edits import plan_split

        return plan_split(self.text(), concept, parts, given)

    def plan_retire(self, concept: str, instead: str | None = None) -> Plan:
        """A concept taken out; its tags go to `instead`, else to its broader one. Raises UsageError, UnknownName."""
        from fightnotes.vocabulary.edits import plan_retire

        return plan_retire(self.text(), concept, instead)

    def vocabulary_as_skos(self, format: str = "turtle", base: str | None = None, language: str = "en") -> str:
        """The vocabulary as SKOS, `turtle` or `json-ld`; `base` is what the ids are put behind.

        `language` is the tag (BCP 47) that the texts bear. Raises UsageError.
        """
        from fightnotes.vocabulary.skos import export_skos
        from fightnotes.vocabulary.skos_names import BASE

        return export_skos(self.read().vocabulary, format, base or BASE, language)

    def export_vocabulary(
        self, path: Path, format: str | None = None, base: str | None = None, language: str = "en"
    ) -> None:
        """The same in a file, in the format of its ending unless one is named. Raises UnknownName."""
        from fightnotes.vocabulary.skos_file import format_of

        self._write_output(path, self.vocabulary_as_skos(format or format_of(path), base, language))

    def plan_import(self, path: Path, format: str | None = None, language: str = "en", whole: bool = False) -> Plan:
        """Concepts of a SKOS file brought in; the plan says which are refused and what is left out.

        `language` is a basic language range (RFC 4647). Raises UnreadableFile, UnknownName, UsageError.
        """
        from fightnotes.vocabulary.imported import plan_import
        from fightnotes.vocabulary.skos_file import read_skos_file

        return plan_import(self.text(), read_skos_file(path, format, language), whole)

    # The audit

    def audit(
        self,
        *,
        only: Iterable[str] = (),
        use_baseline: bool = True,
        with_agreement: bool = False,
        staged: bool = False,
    ) -> AuditReport:
        """What in the notes and the vocabulary looks wrong or doubtful; `only` names rules, none named means all.

        `staged` looks at what git's index holds in place of the work tree. Without an index of our own the rules that
        compare meanings are skipped, which the report says. Raises UnknownName, and as `staged_copy` does.
        """
        from fightnotes.audit.finding import Skipped
        from fightnotes.audit.run import audit
        from fightnotes.cutting.finding import recording_lengths
        from fightnotes.reading.library import read_library
        from fightnotes.reading.staged import staged_copy

        store, no_store = None, None
        try:
            store = self.store
        except StoreError as error:
            no_store = str(error)
        with staged_copy(self.root) if staged else nullcontext(self.root) as root:
            reading = read_library(root)
            lengths, unmeasured = recording_lengths(reading.bouts, self.root, reading.settings.media_roots)
            report = audit(
                reading,
                store,
                title=self.root.name,
                only=only,
                lengths=lengths,
                unmeasured=unmeasured,
                no_store=no_store,
                use_baseline=use_baseline,
                with_agreement=with_agreement,
            )
            file = reading.settings.audit_baseline
            if use_baseline and (self.root / file).is_file() and not (root / file).is_file():
                unread = Skipped(rule="baseline", reason=f"{file} is not staged, and was not read: `git add` it")
                report = report.model_copy(update={"skipped": (*report.skipped, unread)})
        return report

    def plan_fixes(self, report: AuditReport) -> Plan:
        """The safe changes of an audit."""
        from fightnotes.audit.run import plan_fixes

        return plan_fixes(self.read(), report)

    def set_audit_baseline(self, report: AuditReport) -> str:
        """Takes the findings of a report as known; gives the file that holds them, relative to the library."""
        from fightnotes.audit.baseline import write_baseline
        from fightnotes.reading.library import read_configuration

        file = read_configuration(self.root).settings.audit_baseline
        write_baseline(self.root, file, report.findings)
        return file

    def write_audit_html(self, report: AuditReport, path: str | Path) -> None:
        """The report as one HTML file that needs nothing else. Raises FightnotesError where it cannot be written."""
        from fightnotes.audit.html import html_report

        self._write_output(Path(path), html_report(report))

    def _write_output(self, path: Path, text: str) -> None:
        from fightnotes.editing.atomic import write_file
        from fightnotes.editing.own_files import may_write, own_files

        reading = self.read()
        may_write(path, own_files(self.root, reading.bouts, reading.settings))
        write_file(path, text.encode())
