"""Weights of what speaks for the end of a sentence and for the begin of a moment in talk.

Fitted on the four judged talks of the demo by `python -m tests.bench.talk_fit`, which prints both tables anew; `mark`
and `comma` are set by hand, as these talks have none, and what none of them has weighs nothing. Lengths are in words, pauses the logarithm of tenths of a second.
"""

SENTENCE_WEIGHTS: dict[str, float] = {
    "always": -2.29,
    "acting pronoun": 2.41,
    "article": -0.51,
    "bidding": 1.28,
    "clause behind a clause": 0.13,
    "comment": -0.54,
    "ending": 0.27,
    "filler": 2.83,
    "goes on": -1.28,
    "half of two clauses": -1.17,
    "joiner": 2.44,
    "joiner and other": 0.26,
    "joiner and pronoun": 0.10,
    "joiner and then": -0.90,
    "long": 0.78,
    "name": -0.02,
    "no one": 1.63,
    "no verb yet": -0.48,
    "now": 1.36,
    "opener": 3.43,
    "pause": 1.84,
    "pointing word": 0.30,
    "short": -3.17,
    "short clause": 2.33,
    "takes a clause": -1.51,
    "unfinished": -1.88,
    "verb behind": 0.80,
}

MOMENT_WEIGHTS: dict[str, float] = {
    "always": -2.42,
    "announced": -0.81,
    "announces": 0.49,
    "clock": 0.33,
    "joiner": 0.24,
    "long": 0.21,
    "no pause": -1.40,
    "opener": 1.53,
    "pause": 1.41,
    "round": 1.47,
    "shift": 0.44,
    "short": -0.58,
    "sums up": 0.92,
    "turn": 1.83,
}
