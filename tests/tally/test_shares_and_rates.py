from __future__ import annotations

from math import inf

import pytest

from fightnotes.tally.adjust import adjusted
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.proportion import difference_of_shares, share
from fightnotes.tally.rate import rate, ratio_of_rates


def test_nothing_of_nothing_has_no_share_and_no_rate() -> None:
    assert share(0, 0) is None
    assert difference_of_shares(0, 0, 3, 4) is difference_of_shares(3, 4, 0, 0) is None
    assert rate(0, 0.0) is None
    assert ratio_of_rates(0, 5.0, 0, 5.0) is ratio_of_rates(2, 5.0, 0, 0.0) is None


@pytest.mark.parametrize(("count", "of"), [(-1, 4), (5, 4), (0, -1)])
def test_what_is_no_share_is_an_error(count: int, of: int) -> None:
    with pytest.raises(ValueError, match="is no share"):
        share(count, of)


@pytest.mark.parametrize(("count", "exposure"), [(-1, 4.0), (1, 0.0), (0, -2.0)])
def test_what_is_no_rate_is_an_error(count: int, exposure: float) -> None:
    with pytest.raises(ValueError, match="is no rate"):
        rate(count, exposure)
    with pytest.raises(ValueError, match="is no rate"):
        ratio_of_rates(1, 1.0, count, exposure)


def test_a_rate_is_for_a_unit_of_what_it_is_exposed_to() -> None:
    one, ten = rate(12, 3.0), rate(12, 30.0)
    assert one is not None
    assert ten is not None
    assert (one.value, one.low, one.high) == pytest.approx((10 * ten.value, 10 * ten.low, 10 * ten.high))


def test_a_ratio_to_none_is_unbounded_and_one_of_none_is_zero() -> None:
    to_none, of_none = ratio_of_rates(6, 10.0, 0, 10.0), ratio_of_rates(0, 10.0, 6, 10.0)
    assert to_none is not None
    assert of_none is not None
    assert (to_none.value, to_none.high) == (inf, inf)
    assert (of_none.value, of_none.low) == (0.0, 0.0)
    assert of_none.high == pytest.approx(1 / to_none.low)


def test_a_difference_changes_sign_with_its_order() -> None:
    one, other = difference_of_shares(7, 20, 30, 45), difference_of_shares(30, 45, 7, 20)
    assert one is not None
    assert other == Estimate(pytest.approx(-one.value), pytest.approx(-one.high), pytest.approx(-one.low))


def test_tests_that_were_not_made_do_not_count() -> None:
    assert adjusted([None, 0.01, None, 0.04]) == [None, pytest.approx(0.02), None, pytest.approx(0.04)]
    assert adjusted([]) == []
    assert adjusted([None]) == [None]
