"""The three bouts, built once for all tests of the command line."""

from tests.search.conftest import root

__all__ = ["root"]
