"""`python -m fightnotes`, and what the program `fightnotes` begins with."""

from __future__ import annotations

import sys


def main() -> None:
    """Runs the command line. Loading it takes a moment: an interrupt meanwhile ends as a later one does."""
    try:
        from fightnotes.cli.program import program_for

        program_for(sys.argv[1:])(prog_name="fightnotes")
    except KeyboardInterrupt:
        sys.exit(130)


if __name__ == "__main__":
    main()
