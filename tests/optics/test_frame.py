"""Frame sizes and prism. Figures worked by Prentice's rule by hand beside each test."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.frame import Pupils, frame_choices, near_distance_mm, pupils
from assistant.optics.order import EyeOrder, Order, Purpose
from assistant.optics.power import OpticsError, Power
from assistant.optics.tolerance import STANDARDS

ANSI = STANDARDS["ansi_z80_1_2015"]
KITS = [(58.0, 62.0, 66.0), (60.0, 64.0, 68.0)]


def order(pd: float, **more: float | Purpose) -> Order:
    eye = EyeOrder(Power(-2.0))
    return Order(eye, eye, pd_mm=pd, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("far", "w", "near"),
    # check-values 9: PD w / (w + 27), from memory; values computed
    [(54, 400, 50.585), (60, 400, 56.206), (64, 400, 59.953), (68, 400, 63.700), (64, 330, 59.160)],
)
def test_near_distance(far: float, w: float, near: float) -> None:
    assert near_distance_mm(far, w) == pytest.approx(near, abs=5e-4)


def test_near_distance_agrees_with_a_measured_population() -> None:
    # Kumasi students: far 65.53, near 61.60 mm (check-values 9, seen in an abstract); computed 61.39
    assert near_distance_mm(65.53, 400) == pytest.approx(61.60, abs=0.25)


def test_halves_are_used_as_given_and_move_in_alike() -> None:
    assert pupils(order(62.0), 400) == Pupils(31.0, 31.0)
    assert pupils(order(62.0, right_pd_mm=32.0, left_pd_mm=30.0), 400) == Pupils(32.0, 30.0)
    near = pupils(order(62.0, right_pd_mm=32.0, left_pd_mm=30.0, purpose=Purpose.NEAR, near_pd_mm=58.9), 400)
    assert near.right_mm == pytest.approx(30.4)
    assert near.distance_mm == pytest.approx(58.9)
    computed = pupils(order(64.0, purpose=Purpose.NEAR), 400)
    assert computed.distance_mm == pytest.approx(59.953, abs=5e-4)


@pytest.mark.parametrize(
    ("bad", "message"),
    [
        (order(0.0), "pupillary distance is 0 mm; allowed is 30 to 90 mm"),
        (order(float("nan")), "pupillary distance is nan"),
        (order(62.0, right_pd_mm=31.0), "one half of the pupillary distance is missing"),
        (order(62.0, right_pd_mm=61.0, left_pd_mm=1.0), "right half of the pupillary distance is 61"),
    ],
)
def test_impossible_distances_are_refused(bad: Order, message: str) -> None:
    with pytest.raises(OpticsError, match=message):
        pupils(bad, 400)


def test_the_nearest_size_has_least_imbalance() -> None:
    # -4.00 both, pupils 61: at 62 each pupil 0.5 mm inside its centre, 4 x 0.05 x 2 = 0.40 base in (minus,
    # centres wider than pupils); at 58 1.5 mm outside, 1.20 base out
    choices = frame_choices(Power(-4.0), Power(-4.0), Pupils(30.5, 30.5), KITS[0], Purpose.FAR, ANSI)
    assert [choice.centre_distance_mm for choice in choices] == [62.0, 58.0, 66.0]
    assert choices[0].imbalance.horizontal == pytest.approx(0.40)
    assert choices[0].imbalance.base == "in"
    assert choices[1].imbalance.base == "out"


@pytest.mark.parametrize(("power", "size"), [(-4.0, 58.0), (4.0, 62.0)])
def test_a_tie_goes_base_out_for_far(power: float, size: float) -> None:
    # pupils 60 lie midway between 58 and 62
    choices = frame_choices(Power(power), Power(power), Pupils(30, 30), KITS[0], Purpose.FAR, ANSI)
    assert choices[0].centre_distance_mm == size
    assert choices[0].imbalance.base == "out"


def test_a_plano_pair_takes_the_size_nearest_to_the_pupils() -> None:
    choices = frame_choices(Power(0.0), Power(0.0), Pupils(33.5, 33.5), KITS[1], Purpose.FAR, ANSI)
    assert choices[0].centre_distance_mm == 68.0
    assert choices[0].imbalance.base is None


def test_far_from_every_size_is_beyond_the_standard() -> None:
    choices = frame_choices(Power(-9.0), Power(-9.0), Pupils(37.5, 37.5), KITS[0], Purpose.FAR, ANSI)
    # 9 mm too narrow in all at 66: 9 x 0.9 = 8.1 prism; ANSI allows 2.5 mm, 2.25
    assert choices[0].imbalance.horizontal == pytest.approx(8.1)
    assert not choices[0].within


def test_oblique_cylinders_make_vertical_imbalance() -> None:
    right, left = Power(0.0, -3.0, 45.0), Power(0.0, -3.0, 45.0)
    # F12 = +1.5 (cylinder -3 at 45); 1 mm outwards each, opposite ways: 2 x 1.5 x 0.1 = 0.30 vertical
    choices = frame_choices(right, left, Pupils(32, 32), (62.0,), Purpose.FAR, ANSI)
    assert choices[0].imbalance.vertical == pytest.approx(0.30)


def test_one_eye_alone_has_no_imbalance_to_fail() -> None:
    choices = frame_choices(Power(-9.0), None, Pupils(37.5, 37.5), KITS[0], Purpose.FAR, ANSI)
    assert choices[0].centre_distance_mm == 66.0
    assert choices[0].within


@given(
    right=st.integers(-40, 40),
    left=st.integers(-40, 40),
    half=st.integers(48, 78),
    sizes=st.sampled_from(KITS),
    purpose=st.sampled_from(list(Purpose)),
)
def test_best_comes_first(
    right: int, left: int, half: int, sizes: tuple[float, ...], purpose: Purpose
) -> None:
    seen = Pupils(half / 2, half / 2)
    choices = frame_choices(Power(right / 4), Power(left / 4), seen, sizes, purpose, ANSI)
    assert {choice.centre_distance_mm for choice in choices} == set(sizes)
    least = min(choice.imbalance.horizontal for choice in choices)
    assert choices[0].imbalance.horizontal == pytest.approx(least)
    if purpose is Purpose.FAR and choices[0].imbalance.base == "in":
        ties = [c for c in choices if c.imbalance.horizontal == pytest.approx(least, abs=1e-7)]
        assert all(choice.imbalance.base == "in" for choice in ties)
