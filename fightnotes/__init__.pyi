# The public names for type checkers; `__init__.py` loads each when it is first asked for.
from fightnotes.cutting import CUT_COLUMNS as CUT_COLUMNS
from fightnotes.cutting import Arrangement as Arrangement
from fightnotes.cutting import Assembly as Assembly
from fightnotes.cutting import BurntIn as BurntIn
from fightnotes.cutting import ReelForm as ReelForm
from fightnotes.cutting import Selection as Selection
from fightnotes.cutting import reel_form as reel_form
from fightnotes.editing.plan import Plan as Plan
from fightnotes.errors import FightnotesError as FightnotesError
from fightnotes.errors import Problem as Problem
from fightnotes.index.build import BuildReport as BuildReport
from fightnotes.library import Library as Library
from fightnotes.library import open_library as open_library
from fightnotes.model import MOMENT_COLUMNS as MOMENT_COLUMNS
from fightnotes.model import Bout as Bout
from fightnotes.model import Concept as Concept
from fightnotes.model import Fighter as Fighter
from fightnotes.model import Moment as Moment
from fightnotes.model import Segment as Segment
from fightnotes.model import Vocabulary as Vocabulary
from fightnotes.model import markdown_answer as markdown_answer
from fightnotes.model import timestamp_lists as timestamp_lists
from fightnotes.proposing.proposal import Proposal as Proposal
from fightnotes.reading.grammar import is_concept_id as is_concept_id
from fightnotes.reading.values import rounds_of as rounds_of
from fightnotes.reading.values import seconds_of as seconds_of
from fightnotes.reading.values import written_seconds as written_seconds
from fightnotes.search.filters import Filters as Filters
from fightnotes.search.find import Found as Found
from fightnotes.search.hit import Hit as Hit
from fightnotes.suggesting.suggestion import Suggestion as Suggestion

__all__: list[str]
__version__: str
