"""What whoever reads or shows a result must know: the cautions of the trade."""

CAUTIONS = (
    "Film study, not coaching: contact drills belong under a licensed coach, and the rules of the commission in "
    "charge decide what is legal.",
    "Footage belongs to its owner: cutting and publishing it may need a licence; local law decides.",
)
"""Shown once in whatever is handed on: in every export of a cut list that has room for a comment, on a match sheet."""
