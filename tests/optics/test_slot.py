"""Kits differ in everything that matters here: radius, drop, index, step."""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.eye import Eye
from assistant.optics.power import OpticsError, Power, axis_difference_deg, blur
from assistant.optics.slot import (
    axis_budget_deg,
    pin_bearing_deg,
    pin_depression_deg,
    play_deg,
    residual,
    residual_cylinder,
    scale_setting_deg,
    slot_from_line_deg,
    to_step_deg,
)


@dataclass(frozen=True)
class Rim:
    radius_mm: float
    drop_mm: float
    on_centre_line: bool
    step_deg: float


rims = st.sampled_from(
    [Rim(21, 1.5, True, 1), Rim(20, 2, False, 1), Rim(20, 2, True, 5), Rim(30, 4, True, 2)]
)
eyes = st.sampled_from(list(Eye))
axes = st.floats(0.01, 180)


def direction(bearing_deg: float) -> tuple[float, float]:
    return math.cos(math.radians(bearing_deg)), math.sin(math.radians(bearing_deg))


def worn_axis(rim: Rim, eye: Eye, setting_deg: float) -> float:
    """What the hands do, with directions only: line to the scale, tick at the index, tick to the pin."""
    pin_x = eye.nasal_sign * math.sqrt(rim.radius_mm**2 - rim.drop_mm**2)
    pin = np.array([pin_x, -rim.drop_mm]) / rim.radius_mm
    index = np.array([eye.nasal_sign, 0.0]) if rim.on_centre_line else pin
    # the turn that carries the index to the pin, as a rotation matrix
    c, s = float(index @ pin), float(index[0] * pin[1] - index[1] * pin[0])
    line = np.array([[c, -s], [s, c]]) @ np.array(direction(setting_deg))
    return math.degrees(math.atan2(line[1], line[0])) % 180


@given(rims, eyes, axes)
def test_a_lens_set_as_told_is_worn_at_its_axis(rim: Rim, eye: Eye, axis_deg: float) -> None:
    depression = pin_depression_deg(rim.drop_mm, rim.radius_mm)
    setting = scale_setting_deg(eye, axis_deg, depression, rim.on_centre_line, rim.step_deg)
    assert axis_difference_deg(worn_axis(rim, eye, setting.exact_deg), axis_deg) == pytest.approx(0, abs=1e-6)
    worn_off = axis_difference_deg(worn_axis(rim, eye, setting.setting_deg), axis_deg)
    assert worn_off == pytest.approx(setting.rounding_deg, abs=1e-6)


@given(rims, eyes, axes)
def test_a_setting_is_a_mark_of_the_scale(rim: Rim, eye: Eye, axis_deg: float) -> None:
    depression = pin_depression_deg(rim.drop_mm, rim.radius_mm)
    setting = scale_setting_deg(eye, axis_deg, depression, rim.on_centre_line, rim.step_deg)
    assert 0 < setting.setting_deg <= 180
    assert setting.setting_deg / rim.step_deg == pytest.approx(round(setting.setting_deg / rim.step_deg))
    assert abs(setting.rounding_deg) <= rim.step_deg / 2 + 1e-6


@given(rims, eyes, axes)
def test_the_slot_seen_from_the_line_is_at_the_pin_when_worn(rim: Rim, eye: Eye, axis_deg: float) -> None:
    depression = pin_depression_deg(rim.drop_mm, rim.radius_mm)
    slot = direction(axis_deg + slot_from_line_deg(eye, axis_deg, depression))
    assert slot == pytest.approx(direction(pin_bearing_deg(eye, depression)), abs=1e-9)
    assert rim.radius_mm * slot[1] == pytest.approx(-rim.drop_mm)
    assert slot[0] * eye.nasal_sign > 0


@given(rims, axes)
def test_the_eyes_mirror_each_other(rim: Rim, axis_deg: float) -> None:
    depression = pin_depression_deg(rim.drop_mm, rim.radius_mm)
    mirrored = 180 - axis_deg or 180
    right = scale_setting_deg(Eye.RIGHT, axis_deg, depression, rim.on_centre_line, 1).exact_deg
    left = scale_setting_deg(Eye.LEFT, mirrored, depression, rim.on_centre_line, 1).exact_deg
    assert axis_difference_deg(right, 180 - left) == pytest.approx(0, abs=1e-6)


@given(st.floats(-14, 14), st.floats(-6, -0.25), axes, st.floats(-90, 90))
def test_a_turn_leaves_a_cylinder_and_no_mean_power(s: float, c: float, a: float, turn_deg: float) -> None:
    needed = Power(s, c, a)
    left = residual(needed, needed.turned(turn_deg))
    assert left.mean == pytest.approx(0, abs=1e-9)
    assert abs(left.cylinder) == pytest.approx(residual_cylinder(c, turn_deg), abs=1e-8)
    assert blur(needed, needed.turned(turn_deg)) == pytest.approx(abs(left.cylinder) / 2, abs=1e-8)


@pytest.mark.parametrize(
    ("axis", "step", "mark"), [(0.3, 1, 180), (179.6, 1, 180), (0.5, 1, 1), (92.5, 5, 95), (2.4, 5, 180)]
)
def test_marks_wrap_and_halves_go_up(axis: float, step: float, mark: float) -> None:
    assert to_step_deg(axis, step) == mark


def test_the_budget_adds_up() -> None:
    play = play_deg(1.1, 1.0, 20.0)
    assert play == pytest.approx(math.degrees(0.1 / 20))
    assert axis_budget_deg(-0.4, play, 1.0) == pytest.approx(0.4 + play + 0.5)
    assert play_deg(1.0, 1.0, 20.0) == 0


@pytest.mark.parametrize(
    ("told", "call"),
    [
        ("pin drop is 20 mm", lambda: pin_depression_deg(20, 20)),
        ("pin drop is -1 mm", lambda: pin_depression_deg(-1, 20)),
        ("pin drop is nan mm", lambda: pin_depression_deg(math.nan, 20)),
        ("lens radius is 0 mm", lambda: pin_depression_deg(1, 0)),
        ("axis is 190", lambda: slot_from_line_deg(Eye.LEFT, 190, 5)),
        ("pin depression is 91 degrees", lambda: pin_bearing_deg(Eye.LEFT, 91)),
        ("protractor step is 7 degrees", lambda: scale_setting_deg(Eye.LEFT, 10, 5, True, 7)),
        ("protractor step is 0 degrees", lambda: scale_setting_deg(Eye.LEFT, 10, 5, True, 0)),
        ("slot 0.9 mm wide for a pin of 1 mm", lambda: play_deg(0.9, 1.0, 20)),
        ("lens radius is nan mm", lambda: play_deg(1.1, 1.0, math.nan)),
        ("play is -1 degrees", lambda: axis_budget_deg(0, -1, 1)),
    ],
)
def test_bad_input_is_named(told: str, call: "object") -> None:
    assert callable(call)
    with pytest.raises(OpticsError, match=told):
        call()
