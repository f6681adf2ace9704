"""The things that the notes speak of, as immutable models; no input or output."""

from fightnotes.model.bout import FOOTAGE, Bout, Corner, Fighter, Record, Recording, Source, SourceKind, Stance
from fightnotes.model.labels import as_tag, fold, unknown_name
from fightnotes.model.moment import MOMENT_COLUMNS, Moment
from fightnotes.model.pasting import markdown_answer, timestamp_lists
from fightnotes.model.segment import (
    ACT_KEYS,
    Act,
    Fields,
    InferredAct,
    InferredField,
    Kind,
    Pairing,
    Period,
    Repair,
    Segment,
    SpokenSentence,
    Tag,
    acts_known,
    acts_of,
)
from fightnotes.model.settings import OUTCOMES, TARGETS, Handles, Settings
from fightnotes.model.vocabulary import MATCH_KINDS, Concept, LabelRole, Term, Vocabulary

__all__ = [
    "ACT_KEYS", "FOOTAGE", "MATCH_KINDS", "MOMENT_COLUMNS", "OUTCOMES", "TARGETS", "Act", "Bout", "Concept", "Corner",
    "Fields", "Fighter", "Handles", "InferredAct", "InferredField", "Kind", "LabelRole", "Moment", "Pairing", "Period",
    "Record", "Recording", "Repair", "Segment", "Settings", "Source", "SourceKind", "SpokenSentence", "Stance", "Tag",
    "Term", "Vocabulary", "acts_known", "acts_of", "as_tag", "fold", "markdown_answer", "timestamp_lists",
    "unknown_name",
]  # fmt: skip
