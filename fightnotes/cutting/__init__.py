"""Cut lists, their exports, and the reel itself.

`cut` makes an `Assembly`, a cut list with all that belongs to it, of a library's moments. Below it, without a library:
`assemble` makes a `CutList` of candidates; `export` and `export_files` give it in an open format; `plan_render`,
`render` and `stream_copy` make the reel; `contact_sheet` shows a still of each cut; `to_save`, `write_saved`,
`read_saved` and `refind` keep a list to edit.
"""

from fightnotes.cutting.assemble import assemble
from fightnotes.cutting.assembly import Arrangement, Assembly, cut
from fightnotes.cutting.cuts import Candidate, Cut, CutList, CutMoment, LeftOut
from fightnotes.cutting.exports import EXPORTS, Export, export, export_files, format_of
from fightnotes.cutting.finding import find_media
from fightnotes.cutting.media import Media
from fightnotes.cutting.ordering import ORDERS, Order
from fightnotes.cutting.plan import Rendered, RenderPlan, plan_render
from fightnotes.cutting.probing import probe
from fightnotes.cutting.reel_form import ReelForm, reel_form
from fightnotes.cutting.refind import Lost, refind
from fightnotes.cutting.render import BurntIn, render
from fightnotes.cutting.rows import CUT_COLUMNS, rows_of
from fightnotes.cutting.saved import SavedList, SavedMoment, as_saved, read_saved, to_save, write_saved
from fightnotes.cutting.selection import Selected, Selection
from fightnotes.cutting.sheet import contact_sheet
from fightnotes.cutting.stream_copy import INACCURACY, stream_copy
from fightnotes.model.cautions import CAUTIONS

__all__ = [
    "CAUTIONS", "CUT_COLUMNS", "EXPORTS", "INACCURACY", "ORDERS", "Arrangement", "Assembly", "BurntIn", "Candidate",
    "Cut", "CutList", "CutMoment", "Export", "LeftOut", "Lost", "Media", "Order", "ReelForm", "RenderPlan", "Rendered",
    "SavedList", "SavedMoment", "Selected", "Selection", "as_saved", "assemble", "contact_sheet", "cut", "export",
    "export_files", "find_media", "format_of", "plan_render", "probe", "read_saved", "reel_form", "refind", "render",
    "rows_of", "stream_copy", "to_save", "write_saved",
]  # fmt: skip
