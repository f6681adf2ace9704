"""Files made of an assembled cut list. None is written over the library's own files or over footage."""

from __future__ import annotations

from pathlib import Path

from fightnotes.cutting.assembly import Assembly
from fightnotes.cutting.exports import export
from fightnotes.cutting.plan import Rendered, plan_render
from fightnotes.cutting.render import BurntIn, render
from fightnotes.cutting.saved import as_saved, to_save, write_saved
from fightnotes.cutting.sheet import contact_sheet
from fightnotes.cutting.stream_copy import stream_copy
from fightnotes.editing.atomic import write_file
from fightnotes.errors import ExportError, UsageError
from fightnotes.index.progress import Progress, Silent


def save_list(assembly: Assembly, path: Path, force: bool = False) -> None:
    """The list as YAML to edit. Raises ExportError where the file may not be written: without `force`, over one that
    is not as it was saved."""
    assembly.may_write(path)
    if not force and path.exists() and not as_saved(path):
        raise ExportError(f"{path} was edited since it was saved, or is no saved cut list: --force writes over it")
    write_saved(to_save(assembly.cut_list), path)


def write_export(assembly: Assembly, path: Path, name: str) -> None:
    """The list in the format called `name`.

    Raises UnknownName for no such format, ExportError for what the format cannot hold.
    """
    text = export(assembly.cut_list, name, assembly.media)
    assembly.may_write(path)
    write_file(path, text.encode())


def write_sheet(assembly: Assembly, path: Path) -> tuple[str, ...]:
    """A contact sheet; what did not come out as it should, a sentence each. Raises ExportError."""
    assembly.may_write(path)
    return contact_sheet(assembly.cut_list.cuts, assembly.media, path)


def make_reel(
    assembly: Assembly,
    path: Path,
    burnt_in: BurntIn = BurntIn(),  # noqa: B008 (immutable)
    copy: bool = False,
    progress: Progress = Silent(),  # noqa: B008 (has no state)
) -> Rendered:
    """The reel of the cuts whose footage is at hand; those whose is not are told before work begins.

    `copy` takes streams as they are stored: fast, and not exact. Raises ExportError where no footage is at hand,
    where ffmpeg fails, and where sources that differ should be copied; UsageError for text on copied streams.
    """
    if copy and burnt_in != BurntIn():
        raise UsageError("nothing can be burnt into copied streams: leave the text out, or render")
    assembly.may_write(path)
    plan = plan_render(assembly.cut_list, assembly.media)
    for sentence in plan.missing_notes:
        progress.say(sentence)
    if copy:
        return stream_copy(plan, path, progress)
    return render(plan, path, burnt_in, progress)
