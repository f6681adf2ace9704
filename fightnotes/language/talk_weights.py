"""Weights."""
SENTENCE_WEIGHTS: dict[str, float] = {}
MOMENT_WEIGHTS: dict[str, float] = {}
