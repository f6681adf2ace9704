"""Where a library's files lie, relative to its folder; apart from what reads them, which a query need not load."""

SETTINGS_FILE = "library.yaml"
VOCABULARY_FILE = "vocabulary.yaml"
BOUTS_FOLDER = "bouts"
TAGS_FILE = "rejected-tags.yaml"
TERMS_FILE = "rejected-terms.yaml"
"""What a person refused."""
