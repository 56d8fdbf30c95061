"""Instruments that are off, as the checks of the day found: lenses come out true all the same."""

from dataclasses import replace

import pytest
from hands import Hands, figure, hands_on, order_of
from made_pairs import code, finish

from assistant.kit.profile import Kit, NasalIndex
from assistant.optics.eye import Eye
from assistant.workflow.events import (
    DayOpened,
    SupervisorAnswered,
)
from assistant.workflow.making import setting_shown


def test_a_reading_is_put_right_by_the_instruments_of_its_own_day(kit: Kit) -> None:
    """Right lens read, night, left lens read on a focimeter that is set true again."""
    hands = hands_on(kit, order_of("-1.00/-2.00x30", "-1.00/-2.00x150"))
    known = kit.focimeter.reference.axis
    assert known is not None
    hands.wrong[("reference", "", "axis")] = [figure(known + 2)]
    hands.until("check")
    target = hands.bench.the_pair.plan.right.target
    assert target is not None
    assert target.axis is not None
    hands.wrong[("check", "right", "axis")] = [figure(target.axis + 2)]
    while hands.bench.current == ("check", Eye.RIGHT):
        hands.step()
    hands.send(DayOpened(at=hands.tick(), date="2026-11-03"))
    hands.until("verdict")
    check = hands.bench.the_pair.check
    assert check is not None
    assert check.right is not None
    assert check.right.measured == target
    assert check.passed


def test_a_lens_is_dotted_anew_on_the_focimeter_that_its_scale_setting_allows_for(hands: Hands) -> None:
    """Dots lie off by what the focimeter was off; the night lies between them and the protractor."""
    hands.until("mark")
    hands.send(DayOpened(at=hands.tick(), date="2026-11-03"))
    hands.until("dot", "mark")
    assert hands.bench.current == ("dot", Eye.RIGHT)
    finish(hands)


@pytest.mark.parametrize("step_deg", [1.0, 5.0])
def test_the_scale_setting_is_a_mark_of_the_scale_though_instruments_are_off(
    kit: Kit, step_deg: float
) -> None:
    """As near to the exact setting, with both errors in it, as the marks allow."""
    coarse = replace(kit, protractor=replace(kit.protractor, step_deg=step_deg))
    for axis in range(1, 181, 7):
        hands = hands_on(coarse, order_of(f"-1.00/-2.00x{axis}", "-1.00/-2.00x150"))
        known = kit.focimeter.reference.axis
        assert known is not None
        hands.wrong[("reference", "", "axis")] = [figure(known + 1)]
        hands.wrong[("index", "", "axis")] = ["1"]
        hands.until("mark", "supervisor")
        if hands.bench.question is not None:
            hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))
            hands.until("mark")
        alpha = kit.pin_depression_deg if kit.protractor.nasal_index is NasalIndex.ON_CENTRE_LINE else 0.0
        shown = setting_shown(hands.bench, Eye.RIGHT)
        assert shown is not None
        assert shown % step_deg == 0.0
        assert abs((shown - (axis + alpha + 2.0) + 90.0) % 180.0 - 90.0) <= step_deg / 2.0 + 1e-9
