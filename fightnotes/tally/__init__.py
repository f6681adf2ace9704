"""Counts, trends and sequences: statistics of plain numbers, which know nothing of notes."""
