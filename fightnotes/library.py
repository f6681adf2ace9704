"""A library, held open: one method for each thing that can be done with it. Prints nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import LibraryNotFound, StoreError

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.audit.finding import AuditReport
    from fightnotes.cutting import Arrangement, Assembly, BurntIn, Rendered, Selection
    from fightnotes.editing.plan import Plan
    from fightnotes.index.build import BuildReport
    from fightnotes.index.progress import Progress
    from fightnotes.index.store import Store
    from fightnotes.model import Segment
    from fightnotes.proposing.proposal import Proposal
    from fightnotes.reading.library import LibraryReading
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found
    from fightnotes.suggesting.suggest import Suggestion
    from fightnotes.vocabulary.edits import LibraryText


def open_library(path: str | Path) -> Library:
    """The library in a folder, which need not hold anything yet. Raises LibraryNotFound where there is no folder."""
    return Library(Path(path))


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

    def cut(self, selection: Selection, arrangement: Arrangement | None = None) -> Assembly:
        """A cut list of the moments selected, with the footage at hand for it. Raises as `cutting.cut` does."""
        from fightnotes.cutting import Arrangement, cut

        return cut(self.store, selection, arrangement or Arrangement())

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

    def propose(self, limit: int | None = 20) -> tuple[Proposal, ...]:
        """What the vocabulary might take in, the weightiest first. Raises StoreMissing before the first build."""
        from fightnotes.proposing.propose import propose
        from fightnotes.proposing.rejected_terms import read_rejected_terms

        return propose(self.store, limit=limit, rejected=read_rejected_terms(self.root))

    def reject_term(self, term: str) -> None:
        """Remembers that a proposal was refused, in a text file of the library."""
        from fightnotes.proposing.rejected_terms import reject_term

        reject_term(self.root, term)

    def text(self) -> LibraryText:
        """What the `plan_...` functions of `fightnotes.vocabulary.edits` change: the files as they are now."""
        from fightnotes.vocabulary.edits import library_text

        return library_text(self.read())

    def apply(self, plan: Plan) -> Path | None:
        """Makes all the edits of a plan, or none; gives the undo file, or None where nothing changes."""
        from fightnotes.editing.plan import apply_plan

        return apply_plan(self.root, plan)

    def undo(self, file: Path | None = None) -> str:
        """Takes back the change of an undo file, else the one made last; gives its title."""
        from fightnotes.editing.plan import last_undo, take_back

        return take_back(self.root, file or last_undo(self.root)).title

    def suggest(
        self, *, above: float = 0.5, bouts: Sequence[str] = (), limit: int | None = None
    ) -> tuple[Suggestion, ...]:
        """Tags that moments lack, of at least the probability `above`, the most probable first."""
        from fightnotes.suggesting.rejected import read_rejections
        from fightnotes.suggesting.suggest import suggest

        rejected = read_rejections(self.root)
        return suggest(self.store, threshold=above, bouts=bouts, limit=limit, rejected=rejected)

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

    def fix(self, report: AuditReport, *, dry_run: bool = False) -> tuple[str, ...]:
        """Makes the safe changes of an audit in the text files, all or none; gives them as the lines of a diff."""
        from fightnotes.audit.run import fixes
        from fightnotes.editing.line_edit import apply_edits
        from fightnotes.editing.plan import diff_of

        edits = fixes(self.read(), report)
        changes = tuple(diff_of(self.root, edits))
        if not dry_run:
            apply_edits(self.root, edits)
        return changes

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
