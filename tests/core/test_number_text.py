"""Numbers of messages."""

from __future__ import annotations

from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.number_text import significant


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (50_000.4, 4, "50000"),
        (1_234_567.0, 3, "1234567"),
        (0.000123456, 4, "0.0001235"),
        (-2.5, 4, "-2.5"),
        (100.0, 4, "100"),
        (0.0, 4, "0"),
        (-1e-12, 4, "0"),
        (9.9996, 4, "10"),
    ],
)
def test_as_people_write_them(value: float, digits: int, text: str) -> None:
    assert significant(value, digits) == text


@given(st.floats(min_value=1e-6, max_value=1e15), st.integers(min_value=1, max_value=12))
def test_what_is_written_is_near_and_has_no_exponent(value: float, digits: int) -> None:
    text = significant(value, digits)
    assert "e" not in text
    assert float(text) == pytest.approx(value, rel=0.51 * 10 ** (1 - digits))


@pytest.mark.parametrize("value", [inf, -inf, nan])
def test_no_number_is_no_text(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be shown"):
        significant(value)
