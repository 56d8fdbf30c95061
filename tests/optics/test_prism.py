import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.eye import Eye
from assistant.optics.power import OpticsError, Power, added
from assistant.optics.prism import base_names, base_of, imbalance, imbalances, prism, prisms

offsets = st.tuples(st.floats(-20, 20), st.floats(-20, 20))
powers = st.builds(Power, st.floats(-14, 14), st.floats(-4, -0.25), st.floats(1, 180))


@given(powers, offsets, offsets, st.floats(-2, 2))
def test_prism_is_linear_in_the_offset(
    power: Power, one: tuple[float, float], other: tuple[float, float], times: float
) -> None:
    both = prisms(power, np.add(one, np.multiply(other, times)))
    np.testing.assert_allclose(both, prisms(power, one) + times * prisms(power, other), atol=1e-9)


@given(powers, powers, offsets)
def test_prism_is_linear_in_the_lens(one: Power, other: Power, offset: tuple[float, float]) -> None:
    together = prisms(added(one, other), offset)
    np.testing.assert_allclose(together, prisms(one, offset) + prisms(other, offset), atol=1e-9)


@given(powers, offsets, st.floats(-180, 180))
def test_turning_the_whole_picture_turns_the_prism(
    power: Power, offset: tuple[float, float], turn_deg: float
) -> None:
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    turn = np.array([[c, -s], [s, c]])
    np.testing.assert_allclose(
        prisms(power.turned(turn_deg), turn @ np.array(offset)), turn @ prisms(power, offset), atol=1e-8
    )


@given(powers, offsets)
def test_both_forms_give_one_prism(power: Power, offset: tuple[float, float]) -> None:
    np.testing.assert_allclose(prism(power, offset), prism(power.transposed, offset), atol=1e-9)


@pytest.mark.parametrize(
    ("eye", "base", "words"),
    [
        (Eye.RIGHT, (0.5, 1.0), ("0.500 BI", "1.000 BU")),
        (Eye.LEFT, (0.5, -1.0), ("0.500 BO", "1.000 BD")),
        (Eye.LEFT, (0.0, 0.0), ("0", "0")),
    ],
)
def test_bases_are_named_by_the_nose(eye: Eye, base: tuple[float, float], words: tuple[str, str]) -> None:
    assert base_names(eye, base) == words


def test_minus_lenses_closer_than_the_pupils_are_base_out_in_both_eyes() -> None:
    # the right eye is at the viewer's left: a pupil further out than the centre lies at -x
    found = imbalance(Power(-4), Power(-4), (-1.0, 0.0), (1.0, 0.0))
    assert found.horizontal == pytest.approx(0.8)
    assert (found.base, found.vertical) == ("out", 0.0)


def test_plus_lenses_closer_than_the_pupils_are_base_in() -> None:
    assert imbalance(Power(4), Power(4), (-1.0, 0.0), (1.0, 0.0)).base == "in"


def test_both_eyes_shifted_the_same_way_cancel() -> None:
    found = imbalance(Power(-4), Power(-4), (1.0, 2.0), (1.0, 2.0))
    assert (found.horizontal, found.base, found.vertical) == (0.0, None, 0.0)


@given(powers, powers, offsets, offsets)
def test_imbalance_is_never_negative_and_mirrors(
    right: Power, left: Power, one: tuple[float, float], other: tuple[float, float]
) -> None:
    found = imbalance(right, left, one, other)
    assert found.horizontal >= 0
    assert found.vertical >= 0

    def mirrored(power: Power) -> Power:
        return Power(power.sphere, power.cylinder, 180 - (power.axis or 0) or 180)

    swapped = imbalance(mirrored(left), mirrored(right), (-other[0], other[1]), (-one[0], one[1]))
    assert swapped.horizontal == pytest.approx(found.horizontal, abs=1e-9)
    assert swapped.vertical == pytest.approx(found.vertical, abs=1e-9)


def test_many_frames_at_once() -> None:
    right = np.array([[x, 0.0] for x in (-2, 0, 2)])
    horizontal, vertical = imbalances(Power(-4), Power(-3, -1, 180), right, -right)
    one_by_one = [
        imbalance(Power(-4), Power(-3, -1, 180), (x, 0.0), (-x, 0.0)).horizontal for x in (-2, 0, 2)
    ]
    np.testing.assert_allclose(np.abs(horizontal), one_by_one)
    assert [base_of(h) for h in horizontal] == ["out", None, "in"]
    assert vertical.shape == (3,)


@pytest.mark.parametrize("offset", [(1.0,), (float("nan"), 0.0), 3.0])
def test_an_offset_is_a_pair_of_numbers(offset: object) -> None:
    with pytest.raises(OpticsError, match="offset"):
        prisms(Power(1), offset)  # type: ignore[arg-type]
