"""What the counts say, for people to read: the sheet of a match, the answer to a question."""
