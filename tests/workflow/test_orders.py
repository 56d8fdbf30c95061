"""Orders as they come: put right by the clinician, the same case on another day, the same again."""

from hands import Hands, hands_on, order_of

from assistant.kit.profile import Kit
from assistant.optics.order import Order
from assistant.workflow.effects import Say
from assistant.workflow.events import DayOpened, OrderHandedOver

IMPOSSIBLE, RIGHT = order_of("-30.00", "-1.50"), order_of("-3.00", "-1.50")


def handed_over(hands: Hands, order: Order) -> list[str]:
    effects = hands.send(OrderHandedOver(at=hands.tick(), order=order))
    return [effect.text_id for effect in effects if isinstance(effect, Say)]


def made(hands: Hands) -> None:
    hands.until("hand_over")
    hands.step()


def test_an_order_that_went_back_comes_again_put_right(kit: Kit) -> None:
    hands = hands_on(kit, IMPOSSIBLE)
    hands.until("plan")
    hands.step()
    assert [done.outcome for done in hands.bench.closed] == ["returned"]
    handed_over(hands, RIGHT)
    assert hands.bench.queue == (RIGHT,)
    made(hands)


def test_an_order_put_right_takes_the_place_of_the_one_that_waits(kit: Kit) -> None:
    hands = hands_on(kit, IMPOSSIBLE)
    handed_over(hands, RIGHT)
    assert hands.bench.queue == (RIGHT,)


def test_an_order_that_was_put_right_while_it_was_made_waits_beside_it(kit: Kit) -> None:
    hands = hands_on(kit)
    hands.until("fetch")
    handed_over(hands, RIGHT)
    assert hands.bench.queue == (RIGHT,)


def test_the_very_same_order_is_refused(kit: Kit) -> None:
    hands = hands_on(kit, RIGHT)
    assert "refused-order_twice" in handed_over(hands, RIGHT)
    made(hands)
    assert "refused-order_twice" in handed_over(hands, RIGHT)
    assert hands.bench.queue == ()


def reasons(hands: Hands) -> list[str]:
    hands.until("plan")
    return [reason.code for reason in hands.bench.the_pair.plan.reasons]


def test_a_case_made_today_is_asked_about_and_one_of_another_day_is_not(kit: Kit) -> None:
    """Clinics number their cases anew each day."""
    for date, asked in (("2026-11-02", True), ("2026-11-03", False)):
        hands = hands_on(kit)
        made(hands)
        if date != "2026-11-02":
            hands.send(DayOpened(at=hands.tick(), date=date))
        handed_over(hands, RIGHT)
        assert ("repeated" in reasons(hands)) == asked
