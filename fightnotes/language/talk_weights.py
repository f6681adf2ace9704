"""Weights of what speaks for the end of a sentence and for the begin of a moment in talk.

Fitted on the four judged talks of the demo by `python -m tests.bench.talk_fit`, which prints both tables anew; what
none of these talks has weighs nothing.
"""

SENTENCE_WEIGHTS: dict[str, float] = {
    "always": -2.27,
    "acting pronoun": 2.44,
    "article": -0.44,
    "bidding": 1.33,
    "clause behind a clause": 0.23,
    "comment": -0.55,
    "ending": 0.26,
    "filler": 2.82,
    "goes on": -1.68,
    "half of two clauses": -1.33,
    "joiner": 2.19,
    "joiner and name": 2.49,
    "joiner and other": 0.19,
    "joiner and pronoun": 0.31,
    "joiner and then": -0.70,
    "joiner and verb": -0.96,
    "long": 0.81,
    "name": 2.03,
    "no one": 1.68,
    "no verb yet": -0.36,
    "now": 1.41,
    "opener": 3.39,
    "pause": 1.86,
    "pointing word": 0.16,
    "short": -3.12,
    "short clause": 2.26,
    "takes a clause": -1.54,
    "unfinished": -2.01,
    "verb behind": 0.79,
}

MOMENT_WEIGHTS: dict[str, float] = {
    "always": -2.17,
    "announced": -0.27,
    "announces": 1.24,
    "clock": 0.52,
    "joiner": 0.12,
    "long": -0.04,
    "no pause": -1.54,
    "opener": 1.19,
    "pause": 1.37,
    "round": 0.92,
    "shift": 0.48,
    "short": -0.65,
    "sums up": 1.11,
    "turn": 1.51,
}
