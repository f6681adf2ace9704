"""Cut lists, their exports, and the reel itself.

`cut` makes an `Assembly`, a cut list with all that belongs to it, of a library's moments. Below it, without a library:
`assemble` makes a `CutList` of candidates; `export` and `export_files` give it in an open format; `plan_render`,
`render` and `stream_copy` make the reel; `contact_sheet` shows a still of each cut; `to_save`, `write_saved`,
`read_saved` and `refind` keep a list to edit; `list_edits` arrange one, and `list_files` keep the lists of a library.
"""

from fightnotes.cutting.assemble import assemble
from fightnotes.cutting.assembly import Arrangement, Assembly, cut
from fightnotes.cutting.cuts import Candidate, Cut, CutList, CutMoment, LeftOut
from fightnotes.cutting.exports import EXPORTS, Export, export, export_files, export_of, format_of
from fightnotes.cutting.finding import find_media
from fightnotes.cutting.list_edits import in_order, moved, with_card, with_moments, with_other, with_settings, without
from fightnotes.cutting.list_files import (
    ListChange,
    ListFile,
    change_list,
    create_list,
    list_file,
    list_names,
    read_list,
    remove_list,
    take_back_change,
)
from fightnotes.cutting.listed import ListedMoment, listed, places_in_order
from fightnotes.cutting.media import Media
from fightnotes.cutting.ordering import ORDERS, Order
from fightnotes.cutting.plan import Rendered, RenderPlan, plan_render
from fightnotes.cutting.probing import probe
from fightnotes.cutting.reel_form import ReelForm, reel_form
from fightnotes.cutting.refind import Lost, refind
from fightnotes.cutting.render import BurntIn, render
from fightnotes.cutting.rows import CUT_COLUMNS, rows_of
from fightnotes.cutting.saved import SavedList, SavedMoment, as_saved, read_saved, saved_moment, to_save, write_saved
from fightnotes.cutting.selection import Selected, Selection, candidate_at
from fightnotes.cutting.sheet import contact_sheet
from fightnotes.cutting.stream_copy import INACCURACY, stream_copy
from fightnotes.model.cautions import CAUTIONS

__all__ = [
    "CAUTIONS", "CUT_COLUMNS", "EXPORTS", "INACCURACY", "ORDERS", "Arrangement", "Assembly", "BurntIn", "Candidate",
    "Cut", "CutList", "CutMoment", "Export", "LeftOut", "ListChange", "ListFile", "ListedMoment", "Lost", "Media",
    "Order", "ReelForm", "RenderPlan", "Rendered", "SavedList", "SavedMoment", "Selected", "Selection", "as_saved",
    "assemble", "candidate_at", "change_list", "contact_sheet", "create_list", "cut", "export", "export_files",
    "export_of", "find_media", "format_of", "in_order", "list_file", "list_names", "listed", "moved", "places_in_order",
    "plan_render", "probe", "read_list", "read_saved", "reel_form", "refind", "remove_list", "render", "rows_of",
    "saved_moment", "stream_copy", "take_back_change", "to_save", "with_card", "with_moments", "with_other",
    "with_settings", "without", "write_saved",
]  # fmt: skip
