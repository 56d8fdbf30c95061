"""Whole pairs through `advance`, on two kits: smooth, with each thing that can go wrong, given up."""

from dataclasses import replace
from pathlib import Path

import pytest
from hands import Hands, figure, hands_on, order_of

from assistant.kit.load import demo_kit, load_kit
from assistant.kit.profile import Kit, NasalIndex
from assistant.optics.eye import Eye
from assistant.optics.order import EyeKind, EyeOrder, Order
from assistant.optics.power import parse_power, wrap_axis
from assistant.workflow.effects import Ask, Leave, Say, Signal, Tone
from assistant.workflow.events import (
    AskedAgain,
    DayOpened,
    HelpAsked,
    StockCounted,
    SupervisorAnswered,
    TakenBack,
)
from assistant.workflow.making import setting_shown
from assistant.workflow.pictures import RescuePicture, SlotPicture
from assistant.workflow.plan import Grade
from assistant.workflow.show import picture


def said(hands: Hands) -> list[str]:
    return [effect.text_id for effect in hands.effects[-1] if isinstance(effect, Say)]


def signals(hands: Hands) -> list[Tone]:
    return [effect.tone for effect in hands.effects[-1] if isinstance(effect, Signal)]


def outcomes(hands: Hands) -> list[str]:
    return [done.outcome for done in hands.bench.closed]


def finish(hands: Hands) -> None:
    hands.until("hand_over")
    hands.step()
    assert hands.bench.pair is None
    assert int(hands.bench.stock.out.sum()) == 0
    assert int(hands.bench.stock.promised.sum()) == 0


def code(hands: Hands) -> str:
    return hands.bench.kit.supervisor_codes[0]


def test_a_careful_helper_makes_a_pair(hands: Hands) -> None:
    finish(hands)
    assert outcomes(hands) == ["handed_over"]
    assert hands.bench.stock.handed_over == 2


def test_right_eye_is_made_before_left(hands: Hands) -> None:
    hands.until("fetch")
    assert hands.bench.current.eye is Eye.RIGHT
    hands.until("hand_over")
    eyes = [e.step for e in hands.events if hasattr(e, "step")]
    assert eyes.count("fetch") == 2


def test_wrong_check_number_is_refused_and_asked_again(hands: Hands) -> None:
    hands.until("fetch")
    lens = hands.bench.the_pair.plan.right.lens
    assert lens is not None
    hands.key("00" if lens.check_number != "00" else "01")
    assert signals(hands) == [Tone.WRONG]
    assert "refused-check_number_wrong" in said(hands)
    assert hands.bench.current.step == "fetch"
    finish(hands)


def test_an_empty_pocket_is_counted_empty_and_the_eye_replanned(hands: Hands) -> None:
    hands.until("fetch")
    first = hands.bench.the_pair.plan.right.lens
    assert first is not None
    hands.key("-")
    assert hands.bench.stock.at(first.pocket) == 0
    second = hands.bench.the_pair.plan.right.lens
    assert second is None or second.pocket != first.pocket


def test_two_wrong_readings_flag_the_pocket(hands: Hands) -> None:
    hands.until("read")
    first = hands.bench.the_pair.plan.right.lens
    assert first is not None
    for _ in range(2):
        hands.key(figure(first.sphere + 1.0) if first.sphere + 1.0 <= 0 else "+" + figure(first.sphere + 1.0))
        hands.step()
    assert first.pocket in hands.bench.flagged
    second = hands.bench.the_pair.plan.right.lens
    assert second is None or second.pocket != first.pocket
    assert len(hands.bench.stock.blanks) == 1


def test_a_reading_in_plus_form_is_the_same_lens(hands: Hands) -> None:
    hands.until("read")
    lens = hands.bench.the_pair.plan.right.lens
    assert lens is not None
    hands.key(f"{lens.sphere + lens.cylinder:+.2f}")
    hands.key(f"{-lens.cylinder:+.2f}")
    assert hands.bench.current.step == "dot"


def test_the_scale_is_read_back(hands: Hands) -> None:
    hands.until("mark")
    setting = float(hands.right_answer("mark", "scale"))
    hands.key(figure(wrap_axis(setting + 10)))
    assert "refused-scale_wrong" in said(hands)
    assert hands.bench.current.step == "mark"


def test_a_shallow_slot_is_cut_again_and_a_deep_one_costs_the_lens(hands: Hands) -> None:
    hands.until("cut")
    slot = hands.bench.kit.slot
    hands.key(figure(slot.least_depth_mm - 0.1))
    assert "refused-slot_shallow" in said(hands)
    shown = picture(hands.bench)
    assert isinstance(shown, SlotPicture)
    assert figure(shown.depth_mm or 0.0) == figure(slot.least_depth_mm - 0.1)
    assert hands.bench.current.step == "cut"
    hands.key(figure(slot.most_depth_mm + 0.2))
    assert "refused-slot_deep" in said(hands)
    assert len(hands.bench.stock.blanks) == 1
    assert hands.bench.current.step in ("fetch", "plan")


def test_a_long_pin_is_trimmed_again_and_a_short_one_renewed(hands: Hands) -> None:
    hands.until("trim")
    depth = hands.bench.the_pair.right.depth_mm
    assert depth is not None
    hands.key(figure(depth))
    assert "refused-pin_long" in said(hands)
    hands.key(figure(hands.bench.kit.pin.least_engagement_mm - 0.1))
    assert "refused-pin_short" in said(hands)
    hands.step()
    assert hands.bench.current.step == "fit"


def test_a_chipped_lens_is_broken_stock(hands: Hands) -> None:
    hands.until("fit")
    hands.key("-")
    assert hands.bench.stock.broken == 1
    assert hands.bench.current.step in ("fetch", "plan")


def test_slot_on_the_centre_line_is_named_and_rescued_by_a_second_slot() -> None:
    for kit_hands in _strong_pairs():
        hands = kit_hands
        target = hands.bench.kit.pin_depression_deg
        hands.until("check")
        plan = hands.bench.the_pair.plan.right
        assert plan.target is not None
        assert plan.target.axis is not None
        turned = wrap_axis(round(plan.target.axis - target))
        hands.wrong[("check", "right", "axis")] = [figure(turned)]
        hands.until("verdict")
        check = hands.bench.the_pair.check
        assert check is not None
        assert not check.passed
        assert check.right is not None
        assert check.right.causes[0].code == "slot_on_centre_line"
        assert signals(hands) == [Tone.WRONG]
        hands.step()
        assert hands.bench.current == ("mark", Eye.RIGHT)
        finish(hands)
        assert outcomes(hands) == ["handed_over"]


def test_a_lens_that_reads_face_down_is_looked_at_before_it_is_turned() -> None:
    for outward, next_step in (("-", "fit"), ("+", "mark")):
        for hands in _strong_pairs():
            hands.until("check")
            target = hands.bench.the_pair.plan.right.target
            assert target is not None
            assert target.axis is not None
            reads = wrap_axis(round(180.0 - target.axis - 2.0 * hands.bench.kit.pin_depression_deg))
            hands.wrong[("check", "right", "axis")] = [figure(reads)]
            hands.until("verdict")
            assert "cause-face_down" in said(hands)
            hands.step()
            assert hands.bench.current == ("side", Eye.RIGHT)
            hands.key(outward)
            assert hands.bench.current == (next_step, Eye.RIGHT)
            finish(hands)
            assert outcomes(hands) == ["handed_over"]


def test_one_reading_that_nothing_explains_costs_no_lens_and_two_do(hands: Hands) -> None:
    hands.wrong = {("check", "right", "sphere"): ["+7"], ("check", "left", "sphere"): ["+7", "+7"]}
    hands.until("check")
    lenses = [hands.bench.the_pair.plan.eye(eye).lens for eye in Eye]
    hands.until("verdict")
    hands.step()
    assert hands.bench.current.step == "fit"
    assert not hands.bench.stock.blanks
    hands.until("verdict")
    hands.step()
    assert len(hands.bench.stock.blanks) == 1
    assert hands.bench.the_pair.plan.right.lens == lenses[0]


def test_two_causes_that_fit_are_both_said_with_what_tells_them_apart() -> None:
    hands = hands_on(demo_kit(), order_of("-1.00/-2.00x90", "-1.00/-2.00x150"))
    hands.until("check")
    target = hands.bench.the_pair.plan.right.target
    assert target is not None
    assert target.axis is not None
    reads = round(target.axis - 2.0 * hands.bench.kit.pin_depression_deg)
    hands.wrong[("check", "right", "axis")] = [figure(reads)]
    hands.until("verdict")
    told = [text_id for text_id in said(hands) if text_id.startswith(("cause-", "ask-", "rescue-"))]
    assert told[1] == "cause-or"
    assert {told[0], told[2]} == {"cause-cut_for_other_eye", "cause-face_down"}
    assert told[3] == "ask-curved-side"
    assert told[4].startswith("rescue-")


def _strong_pairs() -> list[Hands]:
    kits = [demo_kit(), load_kit(Path(__file__).parents[1] / "kits" / "forty")]
    return [hands_on(kit, order_of("-1.00/-2.00x30", "-1.00/-2.00x150")) for kit in kits]


def test_a_wrong_frame_is_found_by_the_distance(hands: Hands) -> None:
    hands.until("distance")
    frame = hands.bench.the_pair.plan.frame
    assert frame is not None
    hands.wrong[("distance", "", "centres")] = [figure(frame.centre_distance_mm + 12)]
    hands.until("verdict")
    check = hands.bench.the_pair.check
    assert check is not None
    assert not check.passed
    assert not check.centres_passed
    hands.step()
    assert hands.bench.current == ("trim", Eye.RIGHT)
    finish(hands)


def test_the_wearer_who_sees_badly_is_the_supervisor_s_question(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("+")
    hands.key("60")
    assert hands.bench.question is not None
    assert any(isinstance(effect, Ask) for effect in hands.effects[-1])
    hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))
    assert hands.bench.current.step == "hand_over"


def test_a_wearer_served_badly_in_two_ways_is_asked_about_for_both(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("-")
    hands.key("60")
    assert hands.bench.question is not None
    assert hands.bench.question.reasons == ("not_comfortable", "acuity_low")


def test_a_substitute_granted_for_one_eye_grants_none_for_the_other(other_kit: Kit) -> None:
    hands = hands_on(other_kit, order_of("-6.25/-2.25x30", "-6.00/-2.00x165"))

    def granted() -> None:
        hands.until("supervisor")
        assert hands.bench.question is not None
        assert "substitute" in hands.bench.question.reasons
        hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))

    granted()
    plan = hands.bench.the_pair.plan
    assert (plan.right.grade, plan.left.grade) == (Grade.SUBSTITUTE, Grade.EXACT)
    hands.until("fit")
    hands.step()
    assert hands.bench.current == ("fetch", Eye.LEFT)
    hands.key("-")
    assert hands.bench.the_pair.plan.left.grade is Grade.SUBSTITUTE
    granted()
    finish(hands)


def test_a_wrong_code_decides_nothing(hands: Hands) -> None:
    hands.until("dot")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key("99999999")
    hands.key("-")
    assert "refused-code_wrong" in said(hands)
    assert hands.bench.pair is not None
    assert hands.bench.question is not None


def test_help_may_be_called_off_by_backspace(hands: Hands) -> None:
    hands.until("dot")
    before = hands.bench.current
    hands.send(HelpAsked(at=hands.tick()))
    assert hands.bench.current.step == "supervisor"
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current == before


def test_a_pair_given_up_accounts_for_its_lenses(hands: Hands) -> None:
    hands.until("trim")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(code(hands))
    hands.key("-")
    assert hands.bench.current == ("account", Eye.RIGHT)
    hands.key("+")
    assert outcomes(hands) == ["abandoned"]
    assert len(hands.bench.stock.blanks) == 1
    assert int(hands.bench.stock.promised.sum()) == 0


def test_an_uncut_lens_goes_back_to_its_pocket(hands: Hands) -> None:
    hands.until("dot")
    before = hands.bench.stock.there.sum()
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(code(hands))
    hands.key("-")
    hands.key("+")
    assert hands.bench.stock.there.sum() == before + 1
    assert not hands.bench.stock.blanks


def test_only_the_supervisor_leaves(hands: Hands) -> None:
    hands.until("dot")
    hands.send(HelpAsked(at=hands.tick()))
    hands.key(code(hands))
    effects = hands.key("0")
    assert any(isinstance(effect, Leave) for effect in effects)
    assert hands.bench.current.step == "dot"


def test_the_last_entry_is_taken_back_and_nothing_is_erased(hands: Hands) -> None:
    hands.until("read")
    hands.step()
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.entries == ()
    count = len(hands.events)
    finish(hands)
    assert len(hands.events) > count


def test_backspace_crosses_one_step_and_no_more(hands: Hands) -> None:
    hands.until("mark")
    for _ in range(5):
        hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current.step == "dot"


def test_a_closed_pair_stays_closed(hands: Hands) -> None:
    finish(hands)
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.pair is None
    assert outcomes(hands) == ["handed_over"]


def test_asking_again_changes_nothing(hands: Hands) -> None:
    hands.until("mark")
    before = hands.bench
    hands.send(AskedAgain(at=hands.tick()))
    assert hands.bench is before


def test_a_count_makes_a_flagged_pocket_good_again(hands: Hands) -> None:
    hands.until("read")
    lens = hands.bench.the_pair.plan.right.lens
    assert lens is not None
    for _ in range(2):
        hands.key(f"{lens.sphere - 1.0:+.2f}")
        hands.step()
    hands.send(StockCounted(at=hands.tick(), pocket=lens.pocket, count=3))
    assert lens.pocket not in hands.bench.flagged
    assert hands.bench.stock.at(lens.pocket) == 3


def test_a_spherical_lens_needs_no_scale(kit: Kit) -> None:
    hands = hands_on(kit, order_of("-2.00", "-1.50"))
    hands.until("mark")
    assert hands.listening().field == "done"
    finish(hands)
    assert outcomes(hands) == ["handed_over"]


def test_a_single_eye_order_makes_one_lens(kit: Kit) -> None:
    hands = hands_on(kit, order_of("-2.00/-1.00x30", None))
    hands.until("plan", "supervisor")
    hands.step()
    if hands.bench.question is not None:
        hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))
    finish(hands)
    assert hands.bench.stock.handed_over == 1


def test_a_balance_lens_is_made_and_not_judged(kit: Kit) -> None:
    order = Order(
        EyeOrder(parse_power("-2.00/-1.00x30")), EyeOrder(None, EyeKind.BALANCE), pd_mm=62.0, case="102"
    )
    hands = hands_on(kit, order)
    hands.until("plan")
    hands.step()
    if hands.bench.question is not None:
        hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code(hands)))
    finish(hands)
    assert hands.bench.stock.handed_over == 2


def test_an_order_that_cannot_be_made_goes_back(kit: Kit) -> None:
    hands = hands_on(kit, order_of("-30.00", "-1.50"))
    hands.until("plan")
    hands.step()
    assert outcomes(hands) == ["returned"]
    assert int(hands.bench.stock.promised.sum()) == 0


def test_an_order_keyed_at_the_bench(kit: Kit) -> None:
    hands = hands_on(kit)
    hands.until("order")
    hands.key("0")
    for text in ("205", "1", "1", "-2", "-1", "30", "1", "-1.5", "0", "62", "12"):
        hands.key(text)
    assert hands.listening().field == "read_back"
    hands.key("+")
    assert hands.bench.the_pair.order.case == "205"
    assert str(hands.bench.the_pair.order.left.power) == "-1.50"
    hands.until("hand_over", "supervisor")


def test_a_second_slot_is_shown_where_the_rescue_says() -> None:
    """The picture agrees with the rescue: the new slot lies the rescue's turn from the old one."""
    for off_deg, away_deg in ((None, 170), (90, 90)):
        for hands in _strong_pairs():
            hands.until("check")
            target = hands.bench.the_pair.plan.right.target
            assert target is not None
            assert target.axis is not None
            off = -hands.bench.kit.pin_depression_deg if off_deg is None else off_deg
            hands.wrong[("check", "right", "axis")] = [figure(wrap_axis(round(target.axis + off)))]
            hands.until("verdict")
            check = hands.bench.the_pair.check
            assert check is not None
            assert check.right is not None
            turn = check.right.rescue.turn_from_old_slot_deg
            assert turn is not None
            assert abs(turn) >= away_deg
            hands.step()
            hands.until("mark")
            shown = picture(hands.bench)
            assert isinstance(shown, RescuePicture)
            drawn = (shown.new_slot_bearing_deg - shown.old_slot_bearing_deg - turn + 180.0) % 360.0 - 180.0
            assert abs(drawn) < 1.0  # the scale setting is rounded to the protractor's step
            hands.until("trim")
            old, new = hands.bench.the_pair.right.slots_deg
            assert abs((new - old - turn + 180.0) % 360.0 - 180.0) < 1.0


def test_a_lens_turned_over_keeps_the_slot_it_was_not_worn_on() -> None:
    """Where the older slot lies is known from when it was cut; only the one on the pin was read from behind."""
    for hands in _strong_pairs():
        hands.until("check")
        target = hands.bench.the_pair.plan.right.target
        assert target is not None
        assert target.axis is not None
        alpha = hands.bench.kit.pin_depression_deg
        face_down = wrap_axis(round(180.0 - target.axis - 2.0 * alpha))
        hands.wrong[("check", "right", "axis")] = [figure(wrap_axis(target.axis + 10)), figure(face_down)]
        hands.until("side")
        first, worn = hands.bench.the_pair.right.slots_deg
        hands.key("-")
        assert hands.bench.the_pair.right.slots_deg == (first, -worn % 360.0)


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
