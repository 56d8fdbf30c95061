import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.pin import (
    PinCannotHold,
    PinOutcome,
    SlotOutcome,
    judge_pin,
    judge_slot_depth,
    pin_length_mm,
)
from assistant.optics.power import OpticsError

hundredths = st.integers(0, 300).map(lambda n: n / 100)


@pytest.mark.parametrize(
    ("depth", "outcome"),
    [(0.79, "shallow"), (0.8, "right"), (0.1 + 0.7, "right"), (1.2, "right"), (1.21, "deep")],
)
def test_slot_depth_limits_belong_to_right(depth: float, outcome: str) -> None:
    assert judge_slot_depth(depth, 0.8, 1.2) is SlotOutcome(outcome)


@pytest.mark.parametrize(
    ("pin", "outcome"), [(0.71, "long"), (0.7, "right"), (0.5, "right"), (0.49, "short"), (0.0, "short")]
)
def test_pin_limits_belong_to_right(pin: float, outcome: str) -> None:
    assert judge_pin(pin, 0.9, 0.2, 0.5) is PinOutcome(outcome)


def test_a_pin_on_the_limit_is_right_though_binary_falls_short() -> None:
    assert 0.6 - 0.2 < 0.4
    assert judge_pin(0.4, 0.6, 0.2, 0.3) is PinOutcome.RIGHT
    assert judge_pin(0.4, 0.6, 0.2, 0.4) is PinOutcome.RIGHT


@given(hundredths, hundredths, hundredths)
def test_the_wanted_pin_is_always_right_or_refused(depth: float, clearance: float, least: float) -> None:
    if round(100 * depth) - round(100 * clearance) < round(100 * least):
        with pytest.raises(PinCannotHold, match=f"allowed is at least {least:g} mm"):
            pin_length_mm(depth, clearance, least)
    else:
        wanted = pin_length_mm(depth, clearance, least)
        assert judge_pin(wanted, depth, clearance, least) is PinOutcome.RIGHT
        assert wanted + clearance == pytest.approx(depth)


def test_no_pin_is_judged_where_none_can_hold() -> None:
    with pytest.raises(PinCannotHold):
        judge_pin(0.4, 0.6, 0.2, 0.5)


@pytest.mark.parametrize("value", [-0.1, float("nan"), float("inf")])
def test_lengths_are_lengths(value: float) -> None:
    with pytest.raises(OpticsError, match="allowed is 0 mm or more"):
        judge_slot_depth(value, 0.8, 1.2)
    with pytest.raises(OpticsError, match="allowed is 0 mm or more"):
        judge_pin(value, 0.9, 0.2, 0.5)
    with pytest.raises(OpticsError, match="allowed is 0 mm or more"):
        pin_length_mm(value, 0.2, 0.5)
