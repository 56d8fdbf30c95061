"""Backspace takes back the last entry that counted, and nothing that came from outside."""

import pytest
from hands import Hands, hands_on

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.workflow.effects import Listen, Say
from assistant.workflow.events import OrderHandedOver, StockCounted, SupervisorAnswered, TakenBack


def taken_back(hands: Hands) -> None:
    hands.send(TakenBack(at=hands.tick()))


def test_an_entry_is_taken_back_though_the_next_was_refused(hands: Hands) -> None:
    hands.until("check")
    hands.key("-2")
    hands.key("77")
    assert hands.bench.refusal is not None
    taken_back(hands)
    assert hands.bench.entries == ()
    assert hands.bench.current == ("check", Eye.RIGHT)


def test_a_step_refused_as_a_whole_has_nothing_to_take_back(hands: Hands) -> None:
    hands.until("mark")
    hands.key("1")
    hands.key("179")
    taken_back(hands)
    assert hands.bench.current == ("mark", Eye.RIGHT)


@pytest.mark.parametrize(("step", "slip"), [("fit", "-"), ("cut", "9"), ("fetch", "-")])
def test_a_slip_that_costs_a_lens_is_taken_back(hands: Hands, step: str, slip: str) -> None:
    """Chipped for whole, 9 mm for 0.9 mm, an empty pocket: plus and minus lie side by side on the pad."""
    hands.until(step)
    stock, plan = hands.bench.stock, hands.bench.the_pair.plan
    hands.key(slip)
    assert hands.bench.stock != stock
    taken_back(hands)
    assert hands.bench.current == (step, Eye.RIGHT)
    assert hands.bench.stock == stock
    assert hands.bench.the_pair.plan == plan
    hands.until("hand_over")


def test_a_lost_lens_is_not_brought_back_from_beyond_the_next_step(hands: Hands) -> None:
    hands.until("fit")
    hands.key("-")
    hands.until("dot")
    taken_back(hands)
    taken_back(hands)
    assert hands.bench.current.step == "read"
    assert hands.bench.stock.broken == 1


def test_an_order_keyed_at_the_bench_does_not_wait_once_it_is_taken_back(kit: Kit) -> None:
    hands = hands_on(kit)
    hands.until("order")
    hands.key("0")
    for text in ("205", "1", "1", "-2", "-1", "30", "1", "-1.5", "0", "62", "12", "+"):
        hands.key(text)
    assert hands.bench.the_pair.order.case == "205"
    taken_back(hands)
    assert hands.bench.current.step == "key_order"
    assert [order.case for order in hands.bench.queue] == ["101"]


def test_an_answer_that_nobody_waits_for_changes_nothing(hands: Hands) -> None:
    hands.until("check")
    hands.key("-2")
    before = hands.bench
    code = before.kit.supervisor_codes[0]
    effects = hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code))
    assert hands.bench is before
    assert "refused-not_asked" in [effect.text_id for effect in effects if isinstance(effect, Say)]
    taken_back(hands)
    assert hands.bench.entries == ()


def test_what_cannot_be_taken_up_leaves_the_bench_listening(hands: Hands) -> None:
    """A screen listens for what the last effects ask."""
    hands.until("read")
    order = hands.bench.the_pair.order
    for event in (
        StockCounted(at=hands.tick(), pocket=-1, count=1),
        SupervisorAnswered(at=hands.tick(), yes=True, code="0"),
        OrderHandedOver(at=hands.tick(), order=order),
    ):
        assert [effect.field for effect in hands.send(event) if isinstance(effect, Listen)] == ["sphere"]
