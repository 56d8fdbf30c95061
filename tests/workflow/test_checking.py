"""Finished lenses and pairs, judged on two kits: made to plan they pass; spoilt, they fail for a cause."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from assistant.kit.beside import nearest_pocket, neighbours_of, pockets_beside
from assistant.kit.profile import Kit, Tray
from assistant.kit.stock import Stock
from assistant.optics.eye import Eye
from assistant.optics.faults import CauseCode
from assistant.optics.order import EyeKind, EyeOrder, Order
from assistant.optics.power import OpticsError, Power, parse_power
from assistant.optics.rescue import RescueKind
from assistant.workflow.checking import (
    DISTANCE_WRONG,
    HEIGHT_WRONG,
    PRISM_TOO_LARGE,
    WRONG_FRAME,
    check_pair,
)
from assistant.workflow.lens_check import check_eye
from assistant.workflow.plan import Plan, Verdict
from assistant.workflow.planning import plan_pair

ON_BOTH_KITS = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def ordered(right: str, left: str, pd: float = 62.0) -> Order:
    return Order(EyeOrder(parse_power(right)), EyeOrder(parse_power(left)), pd_mm=pd)


def planned(order: Order, kit: Kit) -> Plan:
    return plan_pair(order, kit, Stock.packed(kit.bank))


def targets(plan: Plan) -> dict[Eye, Power]:
    return {eye: target for eye in Eye if (target := plan.eye(eye).target) is not None}


def frame_mm(plan: Plan) -> float:
    assert plan.frame is not None
    return plan.frame.centre_distance_mm


ORDER = ordered("-2.25/-1.50x10", "-2.50/-1.00x170")


@given(seed=st.integers(0, 2**32 - 1), pd=st.floats(58.0, 68.0))
@ON_BOTH_KITS
def test_a_pair_made_to_plan_passes(kit: Kit, seed: int, pd: float) -> None:
    """Whatever the order: set to the protractor's step, read to the focimeter's, in the planned frame."""
    rng = np.random.default_rng(seed)
    rows = rng.integers(0, len(kit.bank), 2)
    right, left = (
        Power(float(kit.bank.sphere[row]), float(kit.bank.cylinder[row]), float(rng.integers(1, 181)))
        for row in rows
    )
    order = Order(EyeOrder(right), EyeOrder(left), pd_mm=round(pd, 1))
    plan = planned(order, kit)
    assume(plan.verdict is not Verdict.RETURN)
    made = {eye: power.turned(plan.eye(eye).setting_rounding_deg) for eye, power in targets(plan).items()}
    check = check_pair(plan, made, frame_mm(plan), 0.0, kit, order=order)
    assert check.passed, (order, check.codes, check.row)
    assert check.codes == ()
    assert {check.eye(eye).rescue.kind for eye in Eye if check.eye(eye)} == {RescueKind.NONE_NEEDED}  # type: ignore[union-attr]


def test_prism_that_the_plan_allowed_is_allowed_to_the_finished_pair(kit: Kit) -> None:
    """Lenses are a hair stronger than the order, moved to the frame; the limit of the check is that of the plan."""
    judged = 0
    for right, left, pd, vertex in product(
        (-4.0, -6.25, 5.75), (-3.25, -6.75, 6.0), np.arange(54, 75, 0.1), (10.0, 14.0)
    ):
        order = Order(
            EyeOrder(Power(right)), EyeOrder(Power(left)), pd_mm=round(pd, 1), refraction_vertex_mm=vertex
        )
        plan = planned(order, kit)
        if plan.verdict is Verdict.RETURN or plan.frame is None:
            continue
        check = check_pair(plan, targets(plan), frame_mm(plan), 0.0, kit, order=order)
        assert PRISM_TOO_LARGE not in check.faults, (order, check.row)
        judged += 1
    assert judged > 500


def test_a_slot_on_the_centre_line_is_found_and_rescued(kit: Kit) -> None:
    plan = planned(ORDER, kit)
    spoilt = targets(plan)
    spoilt[Eye.RIGHT] = spoilt[Eye.RIGHT].turned(-kit.pin_depression_deg)
    check = check_pair(plan, spoilt, frame_mm(plan), 0.0, kit, order=ORDER)
    assert not check.passed
    assert check.codes == (CauseCode.SLOT_ON_CENTRE_LINE.value,)
    assert check.right is not None
    assert check.left is not None
    assert check.left.passed
    assert check.right.rescue.kind is RescueKind.SECOND_SLOT
    assert check.right.rescue.scale_setting_deg == plan.right.scale_setting_deg
    assert abs(check.right.rescue.turn_from_old_slot_deg or 0.0) == pytest.approx(
        180.0 - kit.pin_depression_deg
    )


def test_swapped_lenses_need_both_readings_to_say_so(kit: Kit) -> None:
    """Right 10 and left 170 swapped read 170 - 2 alpha and 10 + 2 alpha; one of them alone proves nothing."""
    order = ordered("-3.00/-1.50x30", "-2.00/-0.50x160")
    plan = planned(order, kit)
    right, left = targets(plan)[Eye.RIGHT], targets(plan)[Eye.LEFT]
    twice = 2.0 * kit.pin_depression_deg
    crossed = {Eye.RIGHT: left.turned(-twice), Eye.LEFT: right.turned(twice)}
    both = check_pair(plan, crossed, frame_mm(plan), 0.0, kit, order=order)
    assert both.codes == (CauseCode.LENSES_SWAPPED.value,) * 2
    one = check_pair(plan, crossed | {Eye.LEFT: left}, frame_mm(plan), 0.0, kit, order=order)
    assert CauseCode.LENSES_SWAPPED.value not in one.codes
    assert one.right is not None
    assert one.right.rescue.kind is not RescueKind.SWAP_LENSES


def test_another_size_of_frame_is_named(kit: Kit) -> None:
    plan = planned(ORDER, kit)
    other = next(f.centre_distance_mm for f in kit.frames if f.centre_distance_mm != frame_mm(plan))
    check = check_pair(plan, targets(plan), other, 0.0, kit)
    assert check.codes == (WRONG_FRAME,)
    assert not check.centres_passed
    assert check.height_passed
    assert check.centres_error_mm == pytest.approx(other - frame_mm(plan))


def test_a_distance_that_is_no_frame_is_named(kit: Kit) -> None:
    plan = planned(ORDER, kit)
    check = check_pair(plan, targets(plan), 80.0, 0.0, kit)
    assert check.codes == (DISTANCE_WRONG,)
    assert not check.passed


def test_a_length_exactly_on_its_limit_is_allowed(kit: Kit) -> None:
    plan = planned(ORDER, kit)
    limits = kit.limits
    at_limit = frame_mm(plan) - limits.centre_distance_tolerance_mm
    check = check_pair(plan, targets(plan), at_limit, limits.height_tolerance_mm, kit)
    assert check.passed
    over = check_pair(plan, targets(plan), frame_mm(plan), limits.height_tolerance_mm + 0.01, kit)
    assert over.codes == (HEIGHT_WRONG,)
    assert not over.height_passed
    assert over.centres_passed


def test_height_makes_vertical_prism(kit: Kit) -> None:
    """Prentice: 5 mm of difference between lenses of -6.00 is 3 prism dioptres."""
    order = ordered("-6.00", "-6.00", pd=62.0)
    plan = planned(order, kit)
    check = check_pair(plan, targets(plan), frame_mm(plan), 5.0, kit, order=order)
    assert check.imbalance is not None
    # the bank may have had only one plain -6.00: the lens beside it differs by an eighth at most
    assert check.imbalance.vertical == pytest.approx(3.0, abs=0.1)
    assert check.faults == (HEIGHT_WRONG, PRISM_TOO_LARGE)
    assert not check.height_passed
    assert "vertical" in check.row


def test_prism_at_the_actual_distance_is_judged_though_the_frame_is_the_planned_one(kit: Kit) -> None:
    """A pair of -9.00 whose wearer's pupils turn out 6 mm wider than the order said."""
    order = ordered("-9.00", "-9.00", pd=frame_of(kit))
    plan = planned(order, kit)
    wider = replace(order, pd_mm=order.pd_mm + 8.0)
    check = check_pair(plan, targets(plan), frame_mm(plan), 0.0, kit, order=wider)
    assert check.faults == (PRISM_TOO_LARGE,)
    assert check.imbalance is not None
    mean = sum(power.mean for power in targets(plan).values()) / 2.0
    assert check.imbalance.horizontal == pytest.approx(abs(mean) * 0.8)
    assert not check.centres_passed
    assert "horizontal" in check.row


def frame_of(kit: Kit) -> float:
    return kit.frames[1].centre_distance_mm


def test_one_lens_alone_makes_no_imbalance(kit: Kit) -> None:
    order = Order(EyeOrder(parse_power("-2.00/-1.00x90")), EyeOrder(None, EyeKind.NONE), pd_mm=62.0)
    plan = planned(order, kit)
    check = check_pair(plan, targets(plan), frame_mm(plan), 0.0, kit, order=order)
    assert check.passed
    assert check.imbalance is None
    assert check.left is None
    assert check.picture(Eye.LEFT) is None


def test_a_reading_without_a_lens_is_refused(kit: Kit) -> None:
    order = Order(EyeOrder(parse_power("-2.00/-1.00x90")), EyeOrder(None, EyeKind.NONE), pd_mm=62.0)
    with pytest.raises(OpticsError, match="left eye was read and has no lens"):
        check_pair(planned(order, kit), {Eye.LEFT: Power(-2.0)}, 62.0, 0.0, kit)


@pytest.mark.parametrize(("centres", "height", "named"), [(-1.0, 0.0, "centres"), (62.0, 99.0, "height")])
def test_lengths_that_no_frame_has_are_refused(kit: Kit, centres: float, height: float, named: str) -> None:
    plan = planned(ORDER, kit)
    with pytest.raises(OpticsError, match=named):
        check_pair(plan, targets(plan), centres, height, kit)


def test_the_slots_already_cut_are_minded(kit: Kit) -> None:
    """With an old slot at each end of where the new one would go, nothing is left but to set it aside."""
    plan = planned(ORDER, kit)
    spoilt = targets(plan)[Eye.RIGHT].turned(-kit.pin_depression_deg)
    on_pin = kit.pin_bearing_deg(Eye.RIGHT) - (spoilt.axis or 0.0)
    slots = {Eye.RIGHT: (on_pin + 180.0, on_pin)}
    check = check_pair(plan, targets(plan) | {Eye.RIGHT: spoilt}, frame_mm(plan), 0.0, kit, slots)
    assert check.right is not None
    assert check.right.rescue.kind is RescueKind.SET_ASIDE


def test_the_picture_of_a_failed_eye_carries_its_figures(kit: Kit) -> None:
    target = Power(-3.0, -2.0, 30.0)
    check = check_eye(target, Power(-3.0, -2.0, 75.0), Eye.LEFT, kit)
    picture = check.picture
    assert not picture.passed
    assert picture.axis_error_deg == pytest.approx(45.0)
    assert picture.axis_window_deg is not None
    assert picture.cause == check.causes[0].code.value
    assert picture.rescue == check.rescue.kind.value


def test_a_spherical_lens_has_no_axis_in_its_picture(kit: Kit) -> None:
    picture = check_eye(Power(-3.0), Power(-4.0), Eye.LEFT, kit).picture
    assert picture.axis_error_deg is None
    assert picture.axis_window_deg is None
    assert picture.power_error_d == pytest.approx(-1.0)


@given(
    power=st.builds(Power, st.floats(-8, 8), st.floats(-3, -0.12), st.floats(1, 180)),
    read=st.builds(Power, st.floats(-8, 8), st.floats(-3, 3), st.floats(1, 180)),
    eye=st.sampled_from(list(Eye)),
)
@ON_BOTH_KITS
def test_any_reading_is_judged_and_a_failure_always_has_a_cause_and_a_way_out(
    kit: Kit, power: Power, read: Power, eye: Eye
) -> None:
    beside = neighbours_of(kit, nearest_pocket(kit, power))
    check = check_eye(power, read, eye, kit, other_eye=read.turned(5.0), neighbours=beside)
    if check.passed:
        assert check.causes == ()
        assert check.rescue.kind is RescueKind.NONE_NEEDED
    else:
        assert check.causes
        assert check.rescue.kind is not RescueKind.NONE_NEEDED
        assert all(cause.ask for cause in check.causes)
    assert check.passed == check_eye(power.transposed, read.transposed, eye, kit).passed


def test_pockets_beside_stay_in_their_tray() -> None:
    tray = Tray(columns=5, rows=3)
    assert set(pockets_beside(tray, 8)) == {3, 7, 9, 13}
    assert set(pockets_beside(tray, 1)) == {2, 6}
    assert set(pockets_beside(tray, 15)) == {10, 14}
    assert set(pockets_beside(tray, 16)) == {17, 21}


def test_neighbours_are_what_the_bank_holds_there(kit: Kit) -> None:
    pocket = int(kit.bank.pocket[7])
    powers = {(power.sphere, power.cylinder) for power in neighbours_of(kit, pocket)}
    beside = [kit.bank.row_of(p) for p in pockets_beside(kit.tray, pocket)]
    assert powers == {(float(kit.bank.sphere[row]), float(kit.bank.cylinder[row])) for row in beside}


def test_the_nearest_pocket_is_the_lens_s_own(kit: Kit) -> None:
    bank = kit.bank
    for row in range(0, len(bank), 17):
        power = Power(float(bank.sphere[row]), float(bank.cylinder[row]), 33.0)
        found = bank.row_of(nearest_pocket(kit, power))
        assert (bank.sphere[found], bank.cylinder[found]) == (bank.sphere[row], bank.cylinder[row])


def test_a_second_cause_that_fits_is_shown_beside_the_first(kit: Kit) -> None:
    """At axis 90 a lens face down and one cut for the other side lie alike."""
    off = 2.0 * kit.pin_depression_deg
    power = parse_power("-2.00/-2.00x90")
    check = check_eye(power, Power(-2.0, -2.0, 90.0 - off), Eye.RIGHT, kit)
    assert check.rival is not None
    assert {check.causes[0].code, check.rival.code} == {CauseCode.CUT_FOR_OTHER_EYE, CauseCode.FACE_DOWN}
    assert check.picture.rival == check.rival.code.value


def test_a_lens_that_may_merely_have_turned_has_no_second_cause(kit: Kit) -> None:
    power = parse_power("-2.00/-2.00x90")
    check = check_eye(power, Power(-2.0, -2.0, 90.0 - kit.pin_depression_deg), Eye.RIGHT, kit)
    assert check.causes[0].code is CauseCode.SLOT_ON_CENTRE_LINE
    assert check.rival is None
