"""What goes wrong with a time: told as what was found and what was expected."""


class ClockError(ValueError):
    """A time, rate, bell or alignment that cannot be right.

    Whoever knows the file adds its name, line and column to what is said here.
    """

    found: str
    """What was read, as written where there is a text."""
    expected: str
    """What would have been right."""
    position: int | None
    """Offset of what was found in the text that was read; None where no text was read from a position."""

    def __init__(self, found: str, expected: str, position: int | None = None) -> None:
        super().__init__(found, expected, position)
        self.found = found
        self.expected = expected
        self.position = position

    def __str__(self) -> str:
        return f"found {self.found}, expected {self.expected}"
