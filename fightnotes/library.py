"""A library, held open: one method for each thing that can be done with it. Prints nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import LibraryNotFound, StoreError

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.audit.finding import AuditReport
    from fightnotes.audit.rules import Rule
    from fightnotes.cutting import Arrangement, Assembly, BurntIn, Rendered, Selection
    from fightnotes.editing.plan import Plan
    from fightnotes.index.build import BuildReport
    from fightnotes.index.progress import Progress
    from fightnotes.index.store import Store
    from fightnotes.model import Concept, Segment
    from fightnotes.proposing.proposal import Proposal, ProposalKind
    from fightnotes.reading.library import LibraryReading
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found
    from fightnotes.suggesting.suggest import Suggestion
    from fightnotes.vocabulary.edits import LibraryText, TagPlace
    from fightnotes.vocabulary.usage import Branch


def open_library(path: str | Path) -> Library:
    """The library in a folder, which need not hold anything yet. Raises LibraryNotFound where there is no folder."""
    return Library(Path(path))


def nearest_library(folder: Path) -> Library:
    """The library that a folder lies in: it or the nearest above it with a `library.yaml`. Raises LibraryNotFound."""
    from fightnotes.reading.library import find_root

    return Library(find_root(folder))


def audit_rules() -> tuple[Rule, ...]:
    """The rules of the audit, in the order in which they run."""
    from fightnotes.audit.rules import RULES

    return RULES


class Library:
    """Reads the text files it is asked about when it is asked; the index stays open from the first query on."""

    def __init__(self, root: Path) -> None:
        if not root.is_dir():
            raise LibraryNotFound(f"there is no folder {root}")
        self.root = root.resolve()

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

    def build(self, progress: Progress | None = None) -> BuildReport:
        """Brings the index up to date; what is wrong in the files is in the report."""
        from fightnotes.index.build import build

        report = build(self.root, progress)
        self.__dict__.pop("store", None)  # the next query opens the new one
        return report

    def find(self, query: str, filters: Filters | None = None, *, limit: int = 20, spread: bool = False) -> Found:
        """The moments that answer a query, best first. Raises StoreMissing before the first build."""
        from fightnotes.search.filters import Filters
        from fightnotes.search.find import find

        return find(self.store, query, filters or Filters(), limit=limit, spread=spread)

    # Cutting

    def cut(self, selection: Selection, arrangement: Arrangement | None = None) -> Assembly:
        """A cut list of the moments selected, with the footage at hand for it. Raises as `cutting.cut` does."""
        from fightnotes.cutting import Arrangement, cut

        return cut(self.store, selection, arrangement or Arrangement())

    def export(self, assembly: Assembly, format: str) -> str:
        """The cut list as text in an open format. Raises UnknownName, and ExportError for what it cannot hold."""
        from fightnotes.cutting import export

        return export(assembly.cut_list, format, assembly.media)

    def write_export(self, assembly: Assembly, path: Path, format: str | None = None) -> None:
        """The same in a file, in the format of its ending unless one is named."""
        from fightnotes.cutting import format_of, write_export

        write_export(assembly, path, format or format_of(path))

    def save_list(self, assembly: Assembly, path: Path) -> None:
        """The cut list as YAML to edit and to use again. Raises ExportError where the file may not be written."""
        from fightnotes.cutting import save_list

        save_list(assembly, path)

    def write_sheet(self, assembly: Assembly, path: Path) -> tuple[str, ...]:
        """A still of each cut; gives what did not come out as it should. Raises ExportError."""
        from fightnotes.cutting import write_sheet

        return write_sheet(assembly, path)

    def render(
        self,
        assembly: Assembly,
        path: Path,
        burnt_in: BurntIn | None = None,
        *,
        copy: bool = False,
        progress: Progress | None = None,
    ) -> Rendered:
        """The reel of a cut list, from the footage at hand. Raises as `cutting.make_reel` does."""
        from fightnotes.cutting import BurntIn, make_reel
        from fightnotes.index.progress import Silent

        return make_reel(assembly, path, burnt_in or BurntIn(), copy, progress or Silent())

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
    ) -> tuple[Suggestion, ...]:
        """Tags that moments lack, of at least the probability `above` (0.5), the most probable first."""
        from fightnotes.suggesting.model import THRESHOLD
        from fightnotes.suggesting.rejected import read_rejections
        from fightnotes.suggesting.suggest import suggest

        least = THRESHOLD if above is None else above
        return suggest(self.store, threshold=least, bouts=bouts, limit=limit, rejected=read_rejections(self.root))

    def plan_tags(self, wanted: Iterable[tuple[Segment, str]]) -> Plan:
        """The line edits that give moments the tags of concepts, by id or label; `apply` makes them."""
        from fightnotes.editing.taking import Notes, plan_taking

        store = self.store
        return plan_taking(Notes(self.root, store.bouts, store.vocabulary, store.settings), wanted)

    def reject_tag(self, segment: Segment, concept: str) -> None:
        """Remembers in the library that a moment is not to be suggested a concept again."""
        from fightnotes.suggesting.rejected import reject

        reject(self.root, segment, concept)

    def forget_rejection(self, segment: Segment, concept: str) -> None:
        """Takes a rejection back."""
        from fightnotes.suggesting.rejected import forget

        forget(self.root, segment, concept)

    # The vocabulary

    def propose(self, limit: int | None = 20) -> tuple[Proposal, ...]:
        """What the vocabulary might take in, the weightiest first. Raises StoreMissing before the first build."""
        from fightnotes.proposing.propose import propose
        from fightnotes.proposing.rejected_terms import read_rejected_terms

        return propose(self.store, limit=limit, rejected=read_rejected_terms(self.root))

    def plan_proposal(self, term: str, kind: ProposalKind | None = None, concept: str | None = None) -> Plan:
        """A proposal by its words, taken as proposed unless `kind` or `concept` say otherwise. Raises UnknownName."""
        from fightnotes.proposing.propose import proposal_of
        from fightnotes.vocabulary.proposal_edit import plan_proposal

        return plan_proposal(self.text(), proposal_of(self.propose(limit=None), term), kind, concept)

    def reject_term(self, term: str) -> None:
        """Remembers in a text file of the library that a proposal was refused. Raises UnknownName for none."""
        from fightnotes.proposing.propose import proposal_of
        from fightnotes.proposing.rejected_terms import reject_term

        reject_term(self.root, proposal_of(self.propose(limit=None), term).term)

    def concept_tree(self, concept: str | None = None) -> tuple[Branch, ...]:
        """The concepts below each other with their uses; of one, by id or label, what is below it. UnknownName."""
        from fightnotes.vocabulary.usage import concept_tree

        reading = self.read()
        return concept_tree(reading.vocabulary, reading.segments, concept)

    def text(self) -> LibraryText:
        """What the plans for the vocabulary change: the files as they are now. Raises UnreadableFile."""
        from fightnotes.vocabulary.edits import library_text

        return library_text(self.read())

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

    def vocabulary_as_skos(self, format: str = "turtle", base: str | None = None) -> str:
        """The vocabulary as SKOS, `turtle` or `json-ld`; `base` is what the ids are put behind."""
        from fightnotes.vocabulary.skos import BASE, export_skos

        return export_skos(self.read().vocabulary, format, base or BASE)

    def export_vocabulary(self, path: Path, format: str | None = None, base: str | None = None) -> None:
        """The same in a file, in the format of its ending unless one is named. Raises UnknownName."""
        from fightnotes.editing.atomic import write_file
        from fightnotes.vocabulary.skos import format_of

        write_file(path, self.vocabulary_as_skos(format or format_of(path), base).encode())

    def plan_import(self, path: Path, format: str | None = None, language: str = "en", whole: bool = False) -> Plan:
        """Concepts of a SKOS file brought in; the plan's notes say what is left out. Raises UnreadableFile."""
        from fightnotes.vocabulary.imported import plan_import
        from fightnotes.vocabulary.skos import read_skos_file

        imported, left_out = read_skos_file(path, format, language)
        return plan_import(self.text(), imported, whole, left_out)

    # The audit

    def audit(
        self, *, only: Iterable[str] = (), use_baseline: bool = True, with_agreement: bool = False
    ) -> AuditReport:
        """What in the notes and the vocabulary looks wrong or doubtful; `only` names rules, none named means all.

        Without an index the rules that compare meanings are skipped, which the report says. Raises UnknownName.
        """
        from fightnotes.audit.run import audit
        from fightnotes.cutting.media import recording_lengths

        reading = self.read()
        store, no_store = None, None
        try:
            store = self.store
        except StoreError as error:
            no_store = str(error)
        lengths, unmeasured = recording_lengths(reading.bouts, self.root, reading.settings.media_roots)
        return audit(
            reading,
            store,
            only=only,
            lengths=lengths,
            unmeasured=unmeasured,
            no_store=no_store,
            use_baseline=use_baseline,
            with_agreement=with_agreement,
        )

    def plan_fixes(self, report: AuditReport) -> Plan:
        """The safe changes of an audit."""
        from fightnotes.audit.run import plan_fixes

        return plan_fixes(self.read(), report)

    def set_audit_baseline(self, report: AuditReport) -> str:
        """Takes the findings of a report as known; gives the file that holds them, relative to the library."""
        from fightnotes.audit.baseline import baseline_file, write_baseline
        from fightnotes.reading.library import read_configuration

        file = baseline_file(read_configuration(self.root).settings)
        write_baseline(self.root, file, report.findings)
        return file

    def write_audit_html(self, report: AuditReport, path: str | Path) -> None:
        """The report as one HTML file that needs nothing else. Raises FightnotesError where it cannot be written."""
        from fightnotes.audit.html import html_report
        from fightnotes.editing.atomic import write_file

        write_file(Path(path), html_report(report).encode())
