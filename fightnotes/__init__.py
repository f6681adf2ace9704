"""fightnotes."""
