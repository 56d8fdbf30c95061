import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.power import (
    OpticsError,
    Power,
    added,
    axis_difference_deg,
    blur,
    from_matrix,
    from_vector,
    parse_power,
    vectors,
    wrap_axis,
)

quarters = st.integers(-56, 56).map(lambda n: n / 4)
axes = st.floats(0.01, 180)
powers = st.builds(
    lambda s, c, a: Power(s, c, a if c else None),
    st.one_of(quarters, st.floats(-14, 14)),
    st.integers(-16, 16).map(lambda n: n / 4),
    axes,
)


def assert_same_lens(one: Power, other: Power) -> None:
    np.testing.assert_allclose(one.vector, other.vector, atol=1e-9)


@given(powers)
def test_transposing_twice_is_the_identity(power: Power) -> None:
    back = power.transposed.transposed
    assert back.sphere == pytest.approx(power.sphere, abs=1e-12)
    assert back.cylinder == power.cylinder
    if power.axis is not None and back.axis is not None:
        assert axis_difference_deg(back.axis, power.axis) == pytest.approx(0, abs=1e-9)


@given(powers)
def test_either_form_is_one_lens(power: Power) -> None:
    assert_same_lens(power, power.minus_form)
    assert_same_lens(power, power.plus_form)
    assert power.minus_form.cylinder <= 0 <= power.plus_form.cylinder


@given(powers)
def test_vector_there_and_back(power: Power) -> None:
    back = from_vector(power.vector)
    assert_same_lens(back, power)
    assert back.sphere == pytest.approx(power.minus_form.sphere, abs=1e-9)
    assert back.cylinder == pytest.approx(power.minus_form.cylinder, abs=1e-9)


@given(powers, powers)
def test_matrix_route_and_vector_route_agree(one: Power, other: Power) -> None:
    assert_same_lens(from_matrix(one.matrix), one)
    assert_same_lens(from_matrix(one.matrix + other.matrix), added(one, other))


@given(powers)
def test_principal_powers_are_the_matrix_eigenvalues(power: Power) -> None:
    np.testing.assert_allclose(np.linalg.eigvalsh(power.matrix), sorted(power.meridians), atol=1e-9)


@given(powers)
def test_the_axis_meridian_has_the_sphere_power(power: Power) -> None:
    angle = math.radians(power.axis or 0.0)
    along = np.array([math.cos(angle), math.sin(angle)])
    np.testing.assert_allclose(power.matrix @ along, power.sphere * along, atol=1e-9)


@given(powers, powers, powers)
def test_blur_is_a_distance(a: Power, b: Power, c: Power) -> None:
    assert blur(a, b) == blur(b, a)
    assert blur(a, c) <= blur(a, b) + blur(b, c) + 1e-9
    assert blur(a, a.transposed) == pytest.approx(0, abs=1e-9)


@given(powers, st.floats(-400, 400))
def test_turning_keeps_the_powers(power: Power, turn_deg: float) -> None:
    turned = power.turned(turn_deg)
    assert turned.meridians == power.meridians
    assert_same_lens(turned.turned(-turn_deg), power)


def test_vectors_of_many_are_the_vectors_of_each() -> None:
    lenses = [Power(-2, -1.5, 10), Power(1, 0.5, 180), Power(0)]
    many = vectors([p.sphere for p in lenses], [p.cylinder for p in lenses], [p.axis or 0.0 for p in lenses])
    np.testing.assert_allclose(many, [p.vector for p in lenses])


@pytest.mark.parametrize(("axis", "wrapped"), [(0, 180), (180, 180), (190, 10), (-10, 170), (360, 180)])
def test_axes_run_from_above_0_to_180(axis: float, wrapped: float) -> None:
    assert wrap_axis(axis) == wrapped


@pytest.mark.parametrize(("axis", "reference", "turn"), [(5, 175, 10), (175, 5, -10), (90, 180, 90)])
def test_the_smallest_turn_is_signed(axis: float, reference: float, turn: float) -> None:
    assert axis_difference_deg(axis, reference) == turn


@pytest.mark.parametrize(
    ("written", "power"),
    [
        ("-2.25/-1.50x10", Power(-2.25, -1.5, 10)),
        ("+1.00", Power(1.0)),
        ("0/-0.50x180", Power(0, -0.5, 180)),
        ("-3,00 / -2,00 x 30", Power(-3, -2, 30)),
        ("\N{MINUS SIGN}1.00/+0.50×0", Power(-1, 0.5, 180)),
        ("-.50/-.25x5", Power(-0.5, -0.25, 5)),
    ],
)
def test_written_powers_are_read(written: str, power: Power) -> None:
    assert parse_power(written) == power


@pytest.mark.parametrize("written", ["", "abc", "-2.25/-1.50x", "1.00x10", "--1", "1/2/3", "-2.25-1.50x10"])
def test_an_unreadable_power_is_named(written: str) -> None:
    with pytest.raises(OpticsError, match="cannot be read"):
        parse_power(written)


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("-41", r"sphere is -41 D; allowed is -40 to 40 D"),
        ("-1/-50x10", r"cylinder is -50 D"),
        ("-1/-1x181", r"axis is 181; allowed is 0 to 180"),
        ("-1/-1", r"cylinder -1.00 D has no axis"),
        ("-1/0x10", r"an axis and no cylinder"),
    ],
)
def test_an_impossible_power_is_refused(written: str, told: str) -> None:
    with pytest.raises(OpticsError, match=told):
        parse_power(written)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_power_is_a_number(value: float) -> None:
    with pytest.raises(OpticsError):
        Power(value)
    with pytest.raises(OpticsError):
        Power(0, value, 90)
    with pytest.raises(OpticsError):
        Power(0, -1, value)


def test_a_crooked_matrix_is_refused() -> None:
    with pytest.raises(OpticsError, match="symmetric"):
        from_matrix(np.array([[1, 0.5], [0, 1]]))
