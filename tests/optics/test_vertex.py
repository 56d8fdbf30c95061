import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.power import OpticsError, Power
from assistant.optics.vertex import moved, moved_power

meridians = st.floats(-20, 20)
distances = st.floats(0, 30)


@given(meridians, distances, distances)
def test_moving_there_and_back_is_the_identity(power_d: float, one_mm: float, other_mm: float) -> None:
    there = moved(power_d, one_mm - other_mm)
    assert float(moved(there, other_mm - one_mm)) == pytest.approx(power_d, abs=1e-9)


@given(meridians, distances, distances)
def test_the_focus_stays_where_it_was(power_d: float, from_mm: float, to_mm: float) -> None:
    if abs(power_d) < 0.01:
        return
    there = float(moved(power_d, from_mm - to_mm))
    assert 1000 / power_d - from_mm == pytest.approx(1000 / there - to_mm, rel=1e-9, abs=1e-6)


@given(st.floats(-14, 14), st.floats(-6, 6), st.floats(1, 180), distances, distances)
def test_each_meridian_moves_by_itself(one: float, cylinder: float, axis: float, a: float, b: float) -> None:
    needed = moved_power(Power(one, cylinder, axis), a, b)
    assert sorted(needed.meridians) == pytest.approx(sorted(moved([one, one + cylinder], a - b)), abs=1e-8)
    assert needed.cylinder <= 0


def test_the_axis_is_kept_in_minus_form() -> None:
    assert moved_power(Power(-12, 4, 120), 12, 8).axis == 30


def test_no_move_changes_nothing() -> None:
    assert moved_power(Power(-8, -2, 30), 12, 12) == Power(-8, -2, 30)


def test_many_lenses_at_once() -> None:
    assert moved([[-10, 10], [4, -4]], 12).shape == (2, 2)
    np.testing.assert_allclose(moved(-10, [0, 12]), [-10, -10 / 1.12])


@pytest.mark.parametrize(("from_mm", "to_mm"), [(-1, 12), (12, 31), (float("nan"), 12)])
def test_distances_are_checked(from_mm: float, to_mm: float) -> None:
    with pytest.raises(OpticsError, match=r"vertex distance is .* allowed is 0 to 30 mm"):
        moved_power(Power(-1), from_mm, to_mm)


@pytest.mark.parametrize("power_d", [40.0, 50.0])
def test_a_lens_is_not_moved_past_its_focus(power_d: float) -> None:
    with pytest.raises(OpticsError, match="cannot be moved 25 mm towards the eye"):
        moved([1.0, power_d], 25)


def test_a_needed_power_no_lens_has_is_refused() -> None:
    with pytest.raises(OpticsError, match="sphere is 50 D; allowed is -40 to 40 D"):
        moved_power(Power(20), 30, 0)


def test_powers_must_be_numbers() -> None:
    with pytest.raises(OpticsError, match="not a number"):
        moved([1.0, float("nan")], 2)
