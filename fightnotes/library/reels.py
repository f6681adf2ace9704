"""Cut lists of a library, and what is made of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import UsageError
from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.cutting import Arrangement, Assembly, BurntIn, ReelForm, Rendered, Selection
    from fightnotes.index.progress import Progress


class Reels(Opened):
    """`cut` and `render`."""

    def cut(self, selection: Selection, arrangement: Arrangement | None = None) -> Assembly:
        """A cut list of the moments selected, with the footage at hand for it. Raises as `cutting.cut` does."""
        from fightnotes.cutting import Arrangement, cut

        return cut(self.store, selection, arrangement or Arrangement())

    def export(self, assembly: Assembly, format: str) -> str:
        """The cut list as text in an open format. Raises UnknownName, and ExportError for what one file cannot hold."""
        from fightnotes.cutting import export

        return export(assembly.cut_list, format, assembly.media)

    def export_texts(self, assembly: Assembly, format: str, stem: str) -> dict[str, str]:
        """The texts of the files that `write_export` would write, by their names, which begin with `stem`.

        Raises UnknownName, and ExportError for what the format cannot hold.
        """
        from fightnotes.cutting import export_files, export_of

        path = Path(f"{stem}{export_of(format).suffix}")
        return {file.name: text for file, text in export_files(assembly.cut_list, format, assembly.media, path).items()}

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

        text, told, shape = burnt_in or BurntIn(), Silent() if progress is None else progress, form or ReelForm()
        if copy and text != BurntIn():
            raise UsageError("nothing can be burnt into copied streams: leave the text out, or render")
        if copy and shape != ReelForm():
            raise UsageError("copied streams keep their size, rate and quality: leave these out, or render")
        assembly.may_write(path)
        plan = plan_render(assembly.cut_list, assembly.media, shape)
        for sentence in plan.missing_notes:
            told.say(sentence)
        return stream_copy(plan, path, told) if copy else render(plan, path, text, told)
