"""A pair given up, and promises that end with it: every lens is somewhere exactly once, whatever else happens."""

import pytest
from hands import Hands, hands_on, order_of

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.workflow.events import DayOpened, HelpAsked, StockCounted, SupervisorAnswered, TakenBack


def answered(hands: Hands, yes: bool) -> None:
    code = hands.bench.kit.supervisor_codes[0]
    hands.send(SupervisorAnswered(at=hands.tick(), yes=yes, code=code))


def stopped(hands: Hands) -> None:
    """The helper calls, and the supervisor says no."""
    hands.send(HelpAsked(at=hands.tick()))
    answered(hands, yes=False)


def outcomes(hands: Hands) -> list[str]:
    return [done.outcome for done in hands.bench.closed]


@pytest.mark.parametrize("step", ["dot", "check"])
def test_a_pair_is_given_up_once_though_help_is_called_again(hands: Hands, step: str) -> None:
    """One lens is out of its pocket at the dots, both are at the check."""
    hands.until(step)
    lenses = int(hands.bench.stock.there.sum() + hands.bench.stock.out.sum())
    stopped(hands)
    while hands.bench.pair is not None:
        asked = hands.bench.current
        assert asked.step == "account"
        stopped(hands)
        assert hands.bench.current == asked
        hands.key("+")
    stock = hands.bench.stock
    assert outcomes(hands) == ["abandoned"]
    assert (int(stock.promised.sum()), int(stock.out.sum())) == (0, 0)
    assert int(stock.there.sum()) + len(stock.blanks) == lenses


def test_a_lens_cut_too_shallow_does_not_go_back_to_its_pocket(hands: Hands) -> None:
    hands.until("cut")
    there = int(hands.bench.stock.there.sum())
    hands.key("0.3")
    stopped(hands)
    hands.key("+")
    assert int(hands.bench.stock.there.sum()) == there
    assert [len(blank.slots_deg) for blank in hands.bench.stock.blanks] == [1]


def test_a_lens_whose_depth_was_taken_back_does_not_go_back_to_its_pocket(hands: Hands) -> None:
    hands.until("trim")
    there = int(hands.bench.stock.there.sum())
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current.step == "cut"
    stopped(hands)
    hands.key("+")
    assert int(hands.bench.stock.there.sum()) == there
    assert [len(blank.slots_deg) for blank in hands.bench.stock.blanks] == [1]


def test_a_blank_keeps_the_slot_that_was_cut_too_deep(hands: Hands) -> None:
    hands.until("trim")
    meant = hands.bench.the_pair.right.slots_deg
    hands.send(TakenBack(at=hands.tick()))
    hands.key("9")
    assert [blank.slots_deg for blank in hands.bench.stock.blanks] == [meant]


def test_an_order_returned_after_another_plan_leaves_no_promise(kit: Kit) -> None:
    """The right eye's pocket, and every one that could stand in for it, is empty; the left lens is not fetched."""
    hands = hands_on(kit, order_of("-9.25/-2.25x25", "-8.25"))
    for _ in range(60):
        match hands.bench.current.step:
            case "fetch":
                hands.key("-")
            case "supervisor":
                answered(hands, yes=True)
            case "order":
                if hands.bench.closed:
                    break
                hands.step()
            case _:
                hands.step()
    assert outcomes(hands) == ["returned"]
    assert int(hands.bench.stock.promised.sum()) == 0


def test_a_lens_in_the_hand_is_taken_though_its_pocket_was_counted_empty(hands: Hands) -> None:
    """The count came while the lens was promised; who keys the pocket's number has it open."""
    hands.until("fetch")
    lens = hands.bench.the_pair.plan.right.lens
    assert lens is not None
    hands.send(StockCounted(at=hands.tick(), pocket=lens.pocket, count=0))
    hands.step()
    assert hands.bench.current == ("read", Eye.RIGHT)
    assert hands.bench.stock.at(lens.pocket) == 0
    hands.until("hand_over")
    hands.step()
    assert int(hands.bench.stock.out.sum()) == 0
    assert int(hands.bench.stock.promised.sum()) == 0


def test_an_answer_under_a_new_day_leaves_the_day_s_checks_alone(hands: Hands) -> None:
    hands.until("wearer")
    hands.key("-")
    hands.key("6")
    hands.send(DayOpened(at=hands.tick(), date="2026-11-03"))
    answered(hands, yes=True)
    assert hands.bench.current.step == "helper"
    assert hands.bench.the_pair.agenda[0].step == "hand_over"
