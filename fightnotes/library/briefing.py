"""A library told to people: the answer to a question, the sheet of a match."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.briefing.answer import Answer
    from fightnotes.briefing.sheet import MatchSheet
    from fightnotes.briefing.sheet_page import SheetPage
    from fightnotes.search.filters import Filters
    from fightnotes.search.hit import Hit


class Briefing(Opened):
    """`answer` and `sheet`."""

    def answer(self, question: str, filters: Filters | None = None, *, inferred: bool = False) -> Answer:
        """A question answered with notes of the library and what is counted of them; each sentence with its moments.

        Raises StoreMissing, UnknownName, UsageError.
        """
        from fightnotes.briefing.answer import answer
        from fightnotes.search.filters import Filters

        return answer(self.store, question, filters or Filters(), inferred=inferred)

    def answer_markdown(self, answer: Answer) -> Iterator[str]:
        """The lines of an answer in CommonMark."""
        from fightnotes.briefing.answer_page import answer_markdown

        return answer_markdown(answer)

    def sheet(self, first: str, second: str, filters: Filters | None = None, *, inferred: bool = False) -> MatchSheet:
        """What the notes have of two fighters before they meet. Raises StoreMissing, UnknownName, UsageError."""
        from fightnotes.briefing.sheet import match_sheet
        from fightnotes.search.filters import Filters

        return match_sheet(self.store, first, second, filters or Filters(), inferred=inferred)

    def sheet_in_lines(self, sheet: MatchSheet) -> tuple[tuple[SheetPage, ...], tuple[Hit, ...]]:
        """A sheet in words, a page for each fighter, and the moments that its numbers name, from 1 on."""
        from fightnotes.briefing.sheet_page import in_lines

        return in_lines(sheet)

    def sheet_markdown(self, sheet: MatchSheet) -> Iterator[str]:
        """The lines of a sheet in CommonMark."""
        from fightnotes.briefing.sheet_page import sheet_markdown

        return sheet_markdown(sheet)

    def sheet_html(self, sheet: MatchSheet) -> str:
        """A sheet as one HTML file that needs nothing else."""
        from fightnotes.briefing.sheet_html import sheet_html

        return sheet_html(sheet)

    def sheet_body(self, sheet: MatchSheet, address: Callable[[str], str]) -> str:
        """A sheet as HTML for a page with a frame of its own; `address` gives that of a moment by its place."""
        from fightnotes.briefing.sheet_html import sheet_body

        return sheet_body(sheet, address)

    def sheet_as(self, sheet: MatchSheet, ending: str) -> str:
        """A sheet as the text of a file of the kind that its ending names: .html, .md or .json. Raises UsageError."""
        import json

        from fightnotes.errors import UsageError

        written = {
            ".html": lambda: self.sheet_html(sheet),
            ".md": lambda: "\n".join(self.sheet_markdown(sheet)) + "\n",
            ".json": lambda: json.dumps(sheet.as_json(), ensure_ascii=False, indent=2) + "\n",
        }
        if ending not in written:
            raise UsageError(f"a sheet is written as {', '.join(written)}, and {ending or 'no ending'} is none of them")
        return written[ending]()

    def write_match_sheet(self, sheet: MatchSheet, path: Path) -> None:
        """A sheet as a file. Raises as `sheet_as` does, FightnotesError where it cannot be written."""
        self._write_output(path, self.sheet_as(sheet, path.suffix))
