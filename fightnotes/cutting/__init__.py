"""Cut lists, their exports, and the reel itself.

`assemble` makes a `CutList` of candidates; `export` writes it in an open format; `plan_render` and `render` make
the reel; `contact_sheet` shows a still of each cut; `to_save`, `write_saved`, `read_saved` and `refind` keep a
list as a file to edit.
"""

from fightnotes.cutting.assemble import assemble
from fightnotes.cutting.cautions import CAUTIONS
from fightnotes.cutting.cuts import Candidate, Cut, CutList, LeftOut, Moment
from fightnotes.cutting.exports import EXPORTS, Export, export
from fightnotes.cutting.media import Media, find_media, probe
from fightnotes.cutting.ordering import ORDERS, Order
from fightnotes.cutting.plan import Plan, plan_render
from fightnotes.cutting.refind import Lost, refind
from fightnotes.cutting.render import BurntIn, Progress, Rendered, render
from fightnotes.cutting.saved import SavedList, SavedMoment, read_saved, to_save, write_saved
from fightnotes.cutting.sheet import contact_sheet
from fightnotes.cutting.stream_copy import INACCURACY, stream_copy
from fightnotes.cutting.whole_file import write_whole

__all__ = [
    "CAUTIONS", "EXPORTS", "INACCURACY", "ORDERS", "BurntIn", "Candidate", "Cut", "CutList", "Export", "LeftOut",
    "Lost", "Media", "Moment", "Order", "Plan", "Progress", "Rendered", "SavedList", "SavedMoment", "assemble",
    "contact_sheet", "export", "find_media", "plan_render", "probe", "read_saved", "refind", "render", "stream_copy",
    "to_save", "write_saved", "write_whole",
]  # fmt: skip
