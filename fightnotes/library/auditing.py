"""A library audited."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import StoreError
from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.audit.finding import Location
    from fightnotes.audit.report import AuditReport
    from fightnotes.editing.plan import Plan
    from fightnotes.index.store import Store
    from fightnotes.reading.library import LibraryReading


class Auditing(Opened):
    """`audit`."""

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
        from fightnotes.reading.staged import staged_copy

        store, no_store = self._store_or_why()
        with staged_copy(self.root) if staged else nullcontext(self.root) as root:
            reading = _read(root, store)
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

        store, _ = self._store_or_why()
        return plan_fixes(_read(self.root, store), report)

    def _store_or_why(self) -> tuple[Store | None, str | None]:
        try:
            return self.store, None
        except StoreError as error:
            return None, str(error)

    def set_audit_baseline(self, report: AuditReport) -> str:
        """Takes the findings of a report as known; gives the file that holds them, relative to the library."""
        from fightnotes.audit.baseline import write_baseline
        from fightnotes.reading.library import read_configuration

        file = read_configuration(self.root).settings.audit_baseline
        write_baseline(self.root, file, report.findings)
        return file

    def audit_html(self, report: AuditReport) -> str:
        """The report as one HTML file that needs nothing else."""
        from fightnotes.audit.html import html_report

        return html_report(report)

    def audit_body(self, report: AuditReport, address: Callable[[str], str]) -> str:
        """The same as HTML for a page with a frame of its own, in which what stands in a note is linked to the moment
        there: `address` gives that of its place, `file:line`. Raises StoreMissing."""
        from functools import cache

        from fightnotes.audit.html import audit_body
        from fightnotes.search.places import innermost, notes_in

        notes = cache(lambda file: notes_in(file, self.store))

        def address_of(place: Location) -> str | None:
            moment = innermost(notes(place.file).values(), place.line)
            return address(moment.place) if moment else None

        return audit_body(report, address_of)

    def write_audit_html(self, report: AuditReport, path: str | Path) -> None:
        """The report as one HTML file that needs nothing else. Raises FightnotesError where it cannot be written."""
        self._write_output(Path(path), self.audit_html(report))


def _read(root: Path, store: Store | None) -> LibraryReading:
    """What the text files say now, by the store where it knows them."""
    from fightnotes.audit.undisturbed import undisturbed
    from fightnotes.index.unchanged import read_through
    from fightnotes.reading.library import read_library

    with undisturbed():
        return read_through(store, root) if store else read_library(root)
