"""Weights of what speaks for the end of a sentence and for the begin of a moment in talk.

Fitted on the four judged talks of the demo by `python -m tests.bench.talk_fit`, which prints both tables anew; what
none of these talks has weighs nothing.
"""

SENTENCE_WEIGHTS: dict[str, float] = {
    "always": -2.27,
    "acting pronoun": 2.45,
    "article": -0.44,
    "bidding": 1.33,
    "clause behind a clause": 0.22,
    "comment": -0.55,
    "ending": 0.27,
    "filler": 2.82,
    "goes on": -1.68,
    "half of two clauses": -1.33,
    "joiner": 2.11,
    "joiner and name": 2.56,
    "joiner and other": 0.26,
    "joiner and pronoun": 0.39,
    "joiner and then": -0.64,
    "long": 0.80,
    "name": 2.04,
    "no one": 1.68,
    "no verb yet": -0.37,
    "now": 1.41,
    "opener": 3.32,
    "pause": 1.86,
    "pointing word": 0.17,
    "short": -3.12,
    "short clause": 2.27,
    "takes a clause": -1.55,
    "unfinished": -2.02,
    "verb behind": 0.79,
}

MOMENT_WEIGHTS: dict[str, float] = {
    "always": -2.24,
    "announced": -0.28,
    "announces": 1.21,
    "clock": 0.51,
    "joiner": 0.24,
    "long": 0.18,
    "no pause": -1.54,
    "opener": 1.29,
    "pause": 1.37,
    "round": 0.86,
    "shift": 0.46,
    "short": -0.60,
    "sums up": 0.97,
    "turn": 1.43,
}
