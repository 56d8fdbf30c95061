"""A bank shared with other benches: what they hold is not planned from; no event about it breaks anything."""

from hands import Hands, hands_on

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.workflow.effects import Signal, Tone
from assistant.workflow.events import BankShared, StockCounted, TakenBack


def planned(hands: Hands) -> int:
    lens = hands.bench.the_pair.plan.eye(Eye.RIGHT).lens
    assert lens is not None
    return lens.pocket


def at_order(kit: Kit) -> Hands:
    hands = hands_on(kit)
    hands.until("order")
    return hands


def tell(hands: Hands, elsewhere: dict[int, int]) -> None:
    hands.send(BankShared(at=hands.tick(), elsewhere=elsewhere))


def first_choice(kit: Kit) -> tuple[int, int]:
    """The pocket planned from when nobody else works, and how many lenses it holds."""
    hands = at_order(kit)
    hands.step()
    pocket = planned(hands)
    return pocket, int(kit.bank.count[kit.bank.row_of(pocket)])


def test_a_lens_that_others_hold_is_not_planned(kit: Kit) -> None:
    pocket, there = first_choice(kit)
    hands = at_order(kit)
    tell(hands, {pocket: there})
    hands.step()
    assert planned(hands) != pocket


def test_one_lens_left_over_is_planned(kit: Kit) -> None:
    pocket, there = first_choice(kit)
    hands = at_order(kit)
    tell(hands, {pocket: there})
    tell(hands, {})
    hands.step()
    assert planned(hands) == pocket


def test_taking_back_an_entry_keeps_what_is_known_of_others(kit: Kit) -> None:
    hands = at_order(kit)
    hands.step()
    tell(hands, {planned(hands): 1})
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current.step == "order"
    assert len(hands.bench.elsewhere) == 1


def test_a_count_at_this_bench_overrules_what_was_known_of_others(kit: Kit) -> None:
    pocket, there = first_choice(kit)
    hands = at_order(kit)
    tell(hands, {pocket: there})
    hands.send(StockCounted(at=hands.tick(), pocket=pocket, count=there))
    assert dict(hands.bench.elsewhere) == {}
    hands.step()
    assert planned(hands) == pocket


def test_the_own_book_is_not_touched_and_the_plan_in_hand_stands(kit: Kit) -> None:
    hands = at_order(kit)
    hands.step()
    before = hands.bench
    tell(hands, {planned(hands): 1})
    assert hands.bench.stock == before.stock
    assert hands.bench.pair == before.pair
    hands.until("order")
    assert hands.bench.closed[-1].outcome == "handed_over"


def test_impossible_news_changes_nothing(kit: Kit) -> None:
    hands = at_order(kit)
    before = hands.bench
    for elsewhere in ({99_999: 1}, {int(kit.bank.pocket[0]): -1}):
        effects = hands.send(BankShared(at=hands.tick(), elsewhere=elsewhere))
        assert effects[0] == Signal(Tone.WRONG)
        assert hands.bench == before
