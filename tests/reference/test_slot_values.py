"""Axis scale and slot geometry."""

import math

import pytest

from assistant.optics.eye import Eye
from assistant.optics.power import Power
from assistant.optics.slot import (
    axis_budget_deg,
    pin_bearing_deg,
    pin_depression_deg,
    play_deg,
    residual_cylinder,
    scale_setting_deg,
    slot_from_line_deg,
)


def test_the_axis_scale() -> None:
    # ISO 8429:1986 as quoted at 123docz.net/13432353 (seen): one scale for both eyes, seen from the front,
    # 0 at the viewer's right, anticlockwise. So 0 is nasal for the right eye, 180 for the left.
    assert Eye.RIGHT.nasal_bearing_deg == 0
    assert Eye.LEFT.nasal_bearing_deg == 180
    assert str(Power(0, -1, 0)) == "+0.00/-1.00x180"  # written 180, not 0


# Computed for this project: alpha = asin(h/r).
@pytest.mark.parametrize(
    ("radius_mm", "drop_mm", "alpha_deg"),
    [(20, 1, 2.866), (20, 2, 5.739), (20, 3, 8.627), (25, 2, 4.589), (30, 2, 3.823)],
)
def test_pin_depression(radius_mm: float, drop_mm: float, alpha_deg: float) -> None:
    assert pin_depression_deg(drop_mm, radius_mm) == pytest.approx(alpha_deg, abs=6e-4)


# Computed for this project: what 1 mm of arc is at three radii, and so what 1 mm of play turns.
@pytest.mark.parametrize(("radius_mm", "turn_deg"), [(20, 2.865), (25, 2.292), (30, 1.910)])
def test_a_millimetre_of_arc(radius_mm: float, turn_deg: float) -> None:
    assert play_deg(2.0, 1.0, radius_mm) == pytest.approx(turn_deg, abs=6e-4)


# Computed for this project: uncompensated on r = 20, h = 2 exactly 2 C h / r.
@pytest.mark.parametrize(
    ("cylinder", "left_d"), [(0.5, 0.10), (1, 0.20), (2, 0.40), (3, 0.60), (4, 0.80), (6, 1.20)]
)
def test_what_forgetting_the_drop_costs(cylinder: float, left_d: float) -> None:
    assert residual_cylinder(cylinder, pin_depression_deg(2, 20)) == pytest.approx(left_d, abs=1e-12)


def test_the_usual_kit() -> None:
    # Common practice, no source: lens 40 mm across, pin 2 mm below the centre line, cylinder -4.00.
    alpha = pin_depression_deg(2.0, 40.0 / 2)
    assert alpha == pytest.approx(5.74, abs=0.005)
    assert residual_cylinder(-4.00, alpha) == pytest.approx(0.80)
    # with the wrong sign it doubles; 11.478 degrees and 0.398 C computed for this project
    assert 2 * alpha == pytest.approx(11.478, abs=6e-4)
    assert residual_cylinder(1.0, 2 * alpha) == pytest.approx(0.398, abs=5e-4)


def test_slots_just_over_a_millimetre() -> None:
    # Common practice, no source: slot 1.1 mm for a pin of 1.0 mm, lens 40 mm.
    play = play_deg(1.1, 1.0, 20.0)
    assert play == pytest.approx(math.degrees(0.005))
    assert axis_budget_deg(0.5, play, 1.0) == pytest.approx(1.286, abs=5e-4)


def test_which_meridian_the_pin_lies_on() -> None:
    # Computed for this project, r = 20, h = 2: below centre at the viewer's left it lies on meridian 5.74
    # (the left eye's nasal side), at the viewer's right on 174.26 (the right eye's).
    alpha = pin_depression_deg(2, 20)
    assert pin_bearing_deg(Eye.LEFT, alpha) % 180 == pytest.approx(5.74, abs=0.005)
    assert pin_bearing_deg(Eye.RIGHT, alpha) % 180 == pytest.approx(174.26, abs=0.005)


# By hand from the geometry of the job (pin -alpha right, 180 + alpha left): alpha 5.739, axis 30.
@pytest.mark.parametrize(
    ("eye", "from_line", "on_centre_line", "exact", "setting"),
    [
        (Eye.RIGHT, 324.261, True, 35.739, 36.0),
        (Eye.RIGHT, 324.261, False, 30.0, 30.0),
        (Eye.LEFT, 155.739, True, 24.261, 24.0),
        (Eye.LEFT, 155.739, False, 30.0, 30.0),
    ],
)
def test_scale_settings(
    eye: Eye, from_line: float, on_centre_line: bool, exact: float, setting: float
) -> None:
    alpha = pin_depression_deg(2, 20)
    assert slot_from_line_deg(eye, 30, alpha) == pytest.approx(from_line, abs=6e-4)
    found = scale_setting_deg(eye, 30, alpha, on_centre_line, 1.0)
    assert found.exact_deg == pytest.approx(exact, abs=6e-4)
    assert found.setting_deg == setting
