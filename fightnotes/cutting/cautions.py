"""What a reader of a cut list must know, shown once in every export that has room for a comment."""

CAUTIONS = (
    "Film study, not coaching: contact drills belong under a licensed coach, and the rules of the commission in "
    "charge decide what is legal.",
    "Footage belongs to its owner: cutting and publishing it may need a licence; local law decides.",
)
