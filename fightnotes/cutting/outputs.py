"""The reel of an assembled cut list. It is written neither over the library's own files nor over footage."""

from __future__ import annotations

from pathlib import Path

from fightnotes.cutting.assembly import Assembly
from fightnotes.cutting.plan import Rendered, plan_render
from fightnotes.cutting.render import BurntIn, render
from fightnotes.cutting.stream_copy import stream_copy
from fightnotes.errors import UsageError
from fightnotes.index.progress import Progress, Silent


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
