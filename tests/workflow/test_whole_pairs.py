"""Whole pairs through `advance`: smooth, and with each thing that can go wrong before the last check."""

from hands import Hands, figure, hands_on, order_of
from made_pairs import code, finish, outcomes, said, signals

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.order import EyeKind, EyeOrder, Order
from assistant.optics.power import parse_power, wrap_axis
from assistant.workflow.effects import Tone
from assistant.workflow.events import (
    StockCounted,
    SupervisorAnswered,
)
from assistant.workflow.pictures import SlotPicture
from assistant.workflow.show import picture


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
