"""What is wrong with a finished pair is named, and saved where it can be."""

from pathlib import Path

from hands import Hands, figure, hands_on, order_of
from made_pairs import finish, outcomes, said, signals

from assistant.kit.load import demo_kit, load_kit
from assistant.optics.eye import Eye
from assistant.optics.power import wrap_axis
from assistant.workflow.effects import Tone
from assistant.workflow.pictures import RescuePicture
from assistant.workflow.show import picture


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
