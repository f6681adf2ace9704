"""Numbers as a person reads them."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.pages.numbers import number


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0, "0"), (0.00012345, "0.00012"), (0.0996, "0.1"), (0.034, "0.034"), (0.3, "0.3"), (3.44, "3.4"), (9.96, "10"),
        (34.4, "34"), (340.6, "341"), (1_234_567, "1234567"), (-0.256, "-0.26"), (inf, "∞"),
    ],
)  # fmt: skip
def test_two_figures_that_mean_something(value: float, written: str) -> None:
    assert number(value) == written


@given(st.floats(1e-9, 1e9))
def test_what_is_written_is_near_and_has_no_exponent(value: float) -> None:
    written = number(value)
    assert "e" not in written
    assert float(written) == pytest.approx(value, rel=0.051)
