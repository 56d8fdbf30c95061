"""Plans on two kits: what is planned, made as a helper would make it, passes the standard in force."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assistant.kit.profile import Kit, NasalIndex
from assistant.kit.stock import Move, Movement, Stock
from assistant.optics.eye import Eye
from assistant.optics.order import EyeKind, EyeOrder, Order, Purpose
from assistant.optics.power import Power, parse_power, wrap_axis
from assistant.optics.questions import QUESTIONS
from assistant.optics.tolerance import STANDARDS
from assistant.workflow.plan import EyePlan, Grade, Plan, Verdict
from assistant.workflow.planning import plan_pair, replan_eye
from assistant.workflow.reasons import REASONS, SEVERITIES, reason


def eye_of(written: str | Power) -> EyeOrder:
    if isinstance(written, Power):
        return EyeOrder(written)
    return (
        EyeOrder(None, EyeKind(written)) if written in ("none", "balance") else EyeOrder(parse_power(written))
    )


def order(right: str | Power, left: str | Power, pd: float = 62.0, **more: object) -> Order:
    return Order(eye_of(right), eye_of(left), pd_mm=pd, **more)  # type: ignore[arg-type]


def plan(kit: Kit, right: str | Power, left: str | Power, pd: float = 62.0, **more: object) -> Plan:
    return plan_pair(order(right, left, pd, **more), kit, Stock.packed(kit.bank))


def codes(found: Plan) -> list[str]:
    return [r.code for r in found.reasons]


def as_made(kit: Kit, eye: EyePlan) -> Power:
    """The lens in its rim, the bench followed by hand: dotted line at the setting, tick at the nasal index,
    slot cut at the tick, lens turned until the slot meets the pin. Written without the slot module."""
    assert eye.lens is not None
    if eye.scale_setting_deg is None:
        return Power(eye.lens.sphere, eye.lens.cylinder, 77.0)
    alpha = np.degrees(np.arcsin(kit.pin.drop_mm / (kit.lens.diameter_mm / 2)))
    pin = -alpha if eye.eye is Eye.RIGHT else 180 + alpha
    centre_line = 0.0 if eye.eye is Eye.RIGHT else 180.0
    tick = centre_line if kit.protractor.nasal_index is NasalIndex.ON_CENTRE_LINE else pin
    return Power(eye.lens.sphere, eye.lens.cylinder, wrap_axis(eye.scale_setting_deg + pin - tick))


any_power = st.builds(
    Power,
    st.integers(-48, 48).map(lambda n: n / 4),
    st.integers(-12, 12).map(lambda n: n / 4),
    st.integers(1, 180),
)
uneven_power = st.builds(Power, st.floats(-8, 8), st.floats(-2.5, 2.5), st.floats(1, 180))


@settings(max_examples=150, deadline=None)
@given(
    right=st.one_of(any_power, uneven_power),
    left=st.one_of(any_power, uneven_power),
    pd=st.integers(50, 74),
    vertex=st.sampled_from([None, 8.0, 14.0]),
    index=st.sampled_from(list(NasalIndex)),
)
@pytest.mark.parametrize("name", ["demo", "other_kit"])
def test_a_lens_made_to_plan_passes(
    request: pytest.FixtureRequest,
    name: str,
    right: Power,
    left: Power,
    pd: int,
    vertex: float | None,
    index: NasalIndex,
) -> None:
    kit: Kit = request.getfixturevalue(name)
    kit = replace(kit, protractor=replace(kit.protractor, nasal_index=index))
    found = plan(kit, right, left, pd, refraction_vertex_mm=vertex)
    standard = STANDARDS[kit.standard]
    for eye in (found.right, found.left):
        if eye.lens is None or eye.needed is None or eye.target is None:
            assert eye.grade is Grade.NONE
            continue
        made = as_made(kit, eye)
        assert abs(eye.setting_rounding_deg) <= kit.protractor.step_deg / 2 + 1e-9
        if eye.grade is Grade.EXACT:
            assert standard.judge(eye.needed, made).passed, (eye, made)
        if eye.scale_setting_deg is not None:
            assert 0 < eye.scale_setting_deg <= 180
            assert standard.judge(eye.target, made).passed, (eye, made)
        assert (eye.grade is Grade.SUBSTITUTE) == (f"the {eye.eye.value} eye needs" in " ".join(texts(found)))


def texts(found: Plan) -> list[str]:
    return [r.text for r in found.reasons if r.code == "substitute"]


@settings(max_examples=60, deadline=None)
@given(
    right=st.floats(-40, 40),
    left=st.floats(-40, 40),
    cylinder=st.floats(-40, 40),
    axis=st.floats(0, 180),
    pd=st.floats(-10, 200),
    vertex=st.one_of(st.none(), st.floats(-10, 50)),
    near=st.booleans(),
)
@pytest.mark.parametrize("name", ["demo", "other_kit"])
def test_no_order_makes_planning_raise(
    request: pytest.FixtureRequest,
    name: str,
    right: float,
    left: float,
    cylinder: float,
    axis: float,
    pd: float,
    vertex: float | None,
    near: bool,
) -> None:
    kit: Kit = request.getfixturevalue(name)
    purpose = Purpose.NEAR if near else Purpose.FAR
    found = plan(
        kit, Power(right, cylinder, axis), Power(left), pd, refraction_vertex_mm=vertex, purpose=purpose
    )
    worst = {SEVERITIES[code] for code in codes(found)}
    assert (found.verdict is Verdict.MAKE) == (not worst)
    if found.verdict is Verdict.MAKE:
        assert found.frame is not None
        assert found.frame.within


def test_usual_orders_are_made(kit: Kit) -> None:
    for right, left in [
        ("-2.25/-1.50x10", "-1.75/-1.00x170"),
        ("+1.00", "+1.25/-0.50x90"),
        ("-3.00/-2.00x30", "none"),
    ]:
        found = plan(kit, right, left)
        assert found.verdict is Verdict.MAKE, found.reasons
        assert found.right.grade is Grade.EXACT
        assert found.right.blur_d == 0.0


def test_settings_of_both_eyes_on_both_kinds_of_index(demo: Kit, other_kit: Kit) -> None:
    # demo: asin(1.5/21) = 4.096, index on the centre line, so A + 4.096 right and A - 4.096 left (computed)
    found = plan(demo, "-2.00/-1.00x178", "-2.00/-1.00x2")
    assert (found.right.scale_setting_deg, found.left.scale_setting_deg) == (2.0, 178.0)
    assert found.right.setting_rounding_deg == pytest.approx(-0.0960, abs=1e-4)
    assert found.right.slot_bearing_deg == pytest.approx(355.904, abs=1e-3)
    assert found.left.slot_bearing_deg == pytest.approx(184.096, abs=1e-3)
    # the other kit: index at the pin, so the dotted line goes to A; asin(2/20) = 5.739 (check-values 8)
    found = plan(other_kit, "-2.00/-1.00x178", "-2.00/-1.00x2")
    assert (found.right.scale_setting_deg, found.left.scale_setting_deg) == (178.0, 2.0)
    assert found.right.slot_bearing_deg == pytest.approx(360 - 5.739, abs=1e-3)


def test_either_form_gives_the_same_plan_and_is_kept(kit: Kit) -> None:
    minus, plus = plan(kit, "-2.00/-1.00x30", "-1.00"), plan(kit, "-3.00/+1.00x120", "-1.00")
    assert minus.right.lens == plus.right.lens
    assert minus.right.scale_setting_deg == plus.right.scale_setting_deg
    assert plus.right.ordered == Power(-3.0, 1.0, 120)


def test_a_sphere_has_no_setting(kit: Kit) -> None:
    found = plan(kit, "-2.00", "+0.00")
    assert found.right.scale_setting_deg is None
    assert found.right.axis_window_deg is None
    assert found.right.needed is not None
    assert found.right.needed.axis is None


def test_axis_window_is_the_standards(demo: Kit, other_kit: Kit) -> None:
    # ANSI Z80.1-2015 (check-values 1, seen): 0.50 +/-7, 1.50 +/-3, 2.00 +/-2; ISO 21987 from memory: 9, 4, 3
    for kit, windows in ((demo, (7.0, 3.0, 2.0)), (other_kit, (9.0, 4.0, 3.0))):
        for cylinder, window in zip((-0.5, -1.5, -2.0), windows, strict=True):
            assert plan(kit, Power(-1.0, cylinder, 20), "-1.00").right.axis_window_deg == window


def test_a_coarse_protractor_that_breaks_the_axis_window_is_asked(demo: Kit) -> None:
    coarse = replace(demo, protractor=replace(demo.protractor, step_deg=5.0))
    # A + 4.096 (computed): 13 -> 17.096, set at 15, 2.1 off, over the 2 degrees for 2.00 D; 11 -> 15.096
    off, near = plan(coarse, "-2.00/-2.00x13", "-2.00"), plan(coarse, "-2.00/-2.00x11", "-2.00")
    assert (off.verdict, codes(off)) == (Verdict.ASK, ["rounding_too_great"])
    assert not STANDARDS[coarse.standard].judge(Power(-2.0, -2.0, 13), as_made(coarse, off.right)).passed
    assert near.verdict is Verdict.MAKE


def test_vertex_distance_is_always_worked_out(demo: Kit) -> None:
    # check-values 4, computed: -10.00 moved 2 mm away (10 to 12) is -10.2041 by F / (1 - dF), d = -0.002
    found = plan(demo, "-10.00", "-10.00", refraction_vertex_mm=10.0)
    assert found.right.needed is not None
    assert found.right.needed.sphere == pytest.approx(-10 / (1 - 0.002 * 10), abs=1e-9)
    assert found.right.ordered == Power(-10.0)


def test_missing_cylinder_keeps_the_mean_power(demo: Kit) -> None:
    found = plan(demo, "-1.00/-3.50x5", "-1.00/-0.50x175")
    assert found.verdict is Verdict.ASK
    assert found.right.target == Power(-1.25, -3.0, 5)
    assert found.right.mean_error_d == pytest.approx(0.0)
    assert found.right.blur_d == pytest.approx(0.25)
    assert "substitute" in codes(found)


def test_far_beyond_the_bank_goes_back(kit: Kit) -> None:
    found = plan(kit, "-19.00", "-19.00")
    assert found.verdict is Verdict.RETURN
    assert codes(found).count("no_lens") == 2
    assert found.right.lens is None
    assert found.right.scale_setting_deg is None


def test_too_much_prism_goes_back(kit: Kit) -> None:
    found = plan(kit, "-8.00", "-8.00", pd=78.0)
    assert found.verdict is Verdict.RETURN
    assert "prism_too_great" in codes(found)
    assert found.frame is not None
    assert not found.frame.within


def test_frames_that_are_gone_are_not_planned(demo: Kit) -> None:
    stock, wanted = Stock.packed(demo.bank), order("-1.00", "-1.00", 62.0)
    left: Mapping[float, int] = {58.0: 1, 62.0: 0, 66.0: 1}
    found = plan_pair(wanted, demo, stock, frames_left=left)
    assert found.frame is not None
    # 4 mm off either way; a minus lens with its centres inside the pupils is base out, which wins the tie
    assert (found.frame.centre_distance_mm, found.frame.base) == (58.0, "out")
    assert found.frame.horizontal_imbalance == pytest.approx(0.4)
    gone = plan_pair(wanted, demo, stock, frames_left={})
    assert (gone.verdict, gone.frame, codes(gone)) == (Verdict.RETURN, None, ["no_frame"])


def test_near_orders_use_the_near_distance(demo: Kit) -> None:
    # 64 x 400/427 = 59.953: nearest size 58 (1.95 mm) before 62 (2.05 mm)
    far, near = plan(demo, "+2.00", "+2.00", 64.0), plan(demo, "+2.00", "+2.00", 64.0, purpose=Purpose.NEAR)
    assert near.frame is not None
    assert near.frame.centre_distance_mm == 58.0
    assert near.frame.horizontal_imbalance == pytest.approx(2 * 0.2 * (64 * 400 / 427 - 58) / 2)
    assert near.right.needed == far.right.needed == Power(2.0)


def test_balance_lens_looks_like_its_fellow_and_is_no_question(kit: Kit) -> None:
    found = plan(kit, "balance", "-3.00/-1.00x20")
    assert found.verdict is Verdict.MAKE
    assert found.right.balance
    assert found.right.ordered is None
    assert found.right.target == Power(-3.5)
    assert found.right.scale_setting_deg is None


def test_balance_never_takes_the_seeing_eyes_lens(demo: Kit) -> None:
    stock = Stock.packed(demo.bank)
    row = int(np.flatnonzero((demo.bank.sphere == -9.0) & (demo.bank.cylinder == 0.0))[0])
    pocket = int(demo.bank.pocket[row])
    stock = stock.applied(Movement(Move.COUNTED, pocket, 1))
    found = plan_pair(order("balance", "-9.00"), demo, stock)
    assert found.left.lens is not None
    assert found.left.lens.pocket == pocket
    assert found.right.lens is not None
    assert found.right.lens.pocket != pocket
    assert found.verdict is Verdict.MAKE


def test_one_eye_only(kit: Kit) -> None:
    found = plan(kit, "none", "-2.00/-1.00x10")
    assert found.verdict is Verdict.MAKE
    assert (found.right.lens, found.right.needed, found.right.grade) == (None, None, Grade.NONE)


def test_impossible_orders_go_back_with_the_cause(kit: Kit) -> None:
    for found in (
        plan(kit, "-1.00", "-1.00", pd=12.0),
        plan(kit, "-1.00", "-1.00", refraction_vertex_mm=45.0),
        plan(kit, "+39.00", "+39.00", refraction_vertex_mm=30.0),
    ):
        assert found.verdict is Verdict.RETURN
        assert codes(found) == ["order_impossible"]
        assert "allowed" in found.reasons[0].text


def test_a_repeat_is_asked(kit: Kit) -> None:
    found = plan_pair(order("-1.00", "-1.00"), kit, Stock.packed(kit.bank), repeated=True)
    assert (found.verdict, codes(found)) == (Verdict.ASK, ["repeated"])


def test_every_cause_is_given_gravest_first(demo: Kit) -> None:
    found = plan(demo, "-15.10", "+3.00", 46.0)
    assert codes(found)[0] == "no_lens"
    assert {
        "sphere_not_quarter",
        "sphere_signs_differ",
        "unequal_powers",
        "pd_unusual",
        "beyond_bank",
    } <= set(codes(found))


def test_another_lens_for_one_eye_keeps_the_other_and_the_frame(kit: Kit) -> None:
    wanted = order("-2.00/-1.00x30", "-2.00/-1.00x150")
    stock = Stock.packed(kit.bank)
    first = plan_pair(wanted, kit, stock)
    for eye in (first.right, first.left):
        assert eye.lens is not None
        stock = stock.applied(Movement(Move.RESERVED, eye.lens.pocket))
    assert first.right.lens is not None
    moves = [Movement(Move.TAKEN, first.right.lens.pocket), Movement(Move.BROKEN, first.right.lens.pocket)]
    stock = stock.after(moves)
    again = replan_eye(wanted, kit, stock, first, Eye.RIGHT)
    assert again.left.lens == first.left.lens
    assert again.frame is not None
    assert first.frame is not None
    assert again.frame.centre_distance_mm == first.frame.centre_distance_mm
    assert again.right.lens is not None
    stock.applied(
        Movement(Move.RESERVED, again.right.lens.pocket)
    )  # it can be promised: nothing is taken twice


@settings(max_examples=25, deadline=None)
@given(powers=st.lists(st.sampled_from(["-0.50", "-0.50/-0.50x90", "+2.00"]), min_size=2, max_size=12))
def test_a_day_of_the_same_orders_never_promises_a_lens_twice(demo: Kit, powers: list[str]) -> None:
    stock = Stock.packed(demo.bank)
    for power in powers:
        found = plan_pair(order(power, power), demo, stock)
        lenses = [eye.lens for eye in (found.right, found.left) if eye.lens is not None]
        assume(lenses)
        stock = stock.after(Movement(Move.RESERVED, lens.pocket) for lens in lenses)
    assert (stock.promised <= stock.there).all()


def test_a_thick_lens_stands_proud(kit: Kit) -> None:
    strong, weak = plan(kit, "-11.00", "-11.00"), plan(kit, "-0.50", "-0.50")
    assert strong.right.stands_proud
    assert not weak.right.stands_proud
    assert strong.right.edge_thickness_mm is not None
    assert weak.right.edge_thickness_mm is not None
    assert strong.right.edge_thickness_mm > weak.right.edge_thickness_mm


def test_reasons_are_one_list() -> None:
    assert set(QUESTIONS) < set(REASONS) == set(SEVERITIES)
    assert reason("no_frame").text
    with pytest.raises(KeyError):
        reason("unheard_of")
    with pytest.raises(KeyError):
        reason("no_lens", eye="right")
