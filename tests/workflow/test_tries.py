"""When a step counts as finished, and as right at the first try."""

from collections.abc import Sequence

from hands import Hands

from assistant.kit.stock import Stock
from assistant.workflow.advance import advance
from assistant.workflow.events import Event, HelpAsked, SupervisorAnswered, TakenBack
from assistant.workflow.state import Bench
from assistant.workflow.tries import at_first_try, finished, spoilt


def tried(hands: Hands) -> list[tuple[str, bool]]:
    """Every step finished in the events so far, with whether it was right at the first try."""
    return _tried(Bench(hands.bench.kit, Stock.packed(hands.bench.kit.bank)), hands.events)


def _tried(bench: Bench, events: Sequence[Event]) -> list[tuple[str, bool]]:
    found, bad = [], False
    for event in events:
        after, _ = advance(bench, event)
        item = finished(bench, event, after)
        if item is not None:
            found.append((item.step, at_first_try(bad, bench, after)))
        bad, bench = spoilt(bad, bench, event, after), after
    return found


def of(hands: Hands, step: str) -> list[bool]:
    return [first for name, first in tried(hands) if name == step]


def test_a_careful_pair_is_right_at_every_first_try(hands: Hands) -> None:
    hands.until("hand_over")
    hands.step()
    found = tried(hands)
    assert all(first for _, first in found)
    steps = [step for step, _ in found]
    assert steps.count("cut") == 2
    assert (steps.count("verdict"), steps[-1]) == (1, "hand_over")


def test_a_refused_reading_spoils_a_step_of_several_entries(hands: Hands) -> None:
    """The first entry of the new try is accepted; that does not make the step right at the first try."""
    hands.wrong = {("read", "right", "sphere"): ["+7"]}
    hands.until("dot")
    assert of(hands, "read") == [False]


def test_an_entry_taken_back_spoils_its_step(hands: Hands) -> None:
    hands.until("read")
    hands.key("+7")
    hands.send(TakenBack(at=hands.tick()))
    hands.until("dot")
    assert of(hands, "read") == [False]


def test_a_step_come_back_to_is_finished_again_not_at_the_first_try(hands: Hands) -> None:
    hands.until("mark")
    hands.send(TakenBack(at=hands.tick()))
    assert hands.bench.current.step == "dot"
    hands.until("mark")
    assert of(hands, "dot") == [True, False]


def test_a_lens_that_is_lost_ends_its_step_wrongly(hands: Hands) -> None:
    hands.wrong = {("fit", "right", "whole"): ["-"]}
    hands.until("fit")
    hands.step()
    assert hands.bench.current.step == "fetch"
    assert of(hands, "fit") == [False]


def test_a_call_for_help_neither_ends_nor_cleans_a_step(hands: Hands) -> None:
    hands.wrong = {("cut", "right", "depth"): ["0.1"]}
    hands.until("cut")
    hands.step()
    hands.send(HelpAsked(at=hands.tick()))
    code = hands.bench.kit.supervisor_codes[0]
    hands.send(SupervisorAnswered(at=hands.tick(), yes=True, code=code))
    assert of(hands, "cut") == []
    hands.until("trim")
    assert of(hands, "cut") == [False]


def test_a_pair_given_up_finishes_no_step(hands: Hands) -> None:
    hands.until("cut")
    hands.send(HelpAsked(at=hands.tick()))
    code = hands.bench.kit.supervisor_codes[0]
    hands.send(SupervisorAnswered(at=hands.tick(), yes=False, code=code))
    assert hands.bench.current.step == "account"
    assert of(hands, "cut") == []


def test_a_failed_verdict_is_not_right_at_the_first_try(hands: Hands) -> None:
    hands.wrong = {("check", "right", "sphere"): ["+7"]}
    hands.until("verdict")
    hands.step()
    assert of(hands, "verdict") == [False]
