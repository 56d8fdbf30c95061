"""The shared bank: the last lens goes to one bench, promises fall, books are added up, differences shown."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from clinics import Clinic
from records import Recorded

from assistant.hub.notdone import NotDone
from assistant.hub.protocol import CountGiven, Reserve
from assistant.hub.shared_bank import MOST_KEPT, PROMISES_LAST_S
from assistant.kit.profile import Kit
from assistant.workflow.entry import NOT_THERE
from assistant.workflow.events import Answered, HelpAsked, StockCounted, SupervisorAnswered, TakenBack


def lonely(kit: Kit) -> Kit:
    """The same kit with one lens in every pocket."""
    return replace(kit, bank=replace(kit.bank, count=np.minimum(kit.bank.count, 1)))


@pytest.fixture
def clinic(database: Path | str, kit: Kit) -> Iterator[Clinic]:
    made = Clinic(database, lonely(kit))
    for name in ("heron", "crab"):
        made.bench(name)
        made.send(name)
    yield made
    made.store.close()


def first_pocket(clinic: Clinic) -> int:
    trial = Recorded("trial", clinic.kit)
    trial.until("order")
    trial.order()
    trial.until("fetch")
    return trial.planned()


def test_the_last_lens_is_granted_to_one(clinic: Clinic) -> None:
    pocket = first_pocket(clinic)
    assert clinic.reserve("heron", pocket).granted
    refusal = clinic.reserve("crab", pocket)
    assert (refusal.granted, refusal.elsewhere) == (False, {pocket: 1})
    assert clinic.reserve("heron", pocket).granted  # asked again, and it is heron's still


def test_a_bench_told_of_it_plans_another_lens(clinic: Clinic) -> None:
    heron = clinic.planned("heron")
    clinic.learn("crab")
    crab = clinic.planned("crab", case="102")
    assert crab != heron
    assert clinic.hub.bank.ledger.differences == ()


def other_pocket(clinic: Clinic) -> int:
    return int(next(number for number in clinic.kit.bank.pocket if number != first_pocket(clinic)))


def test_asking_again_for_a_line_lets_the_first_go(clinic: Clinic) -> None:
    pocket = first_pocket(clinic)
    assert clinic.reserve("heron", pocket).granted
    assert clinic.reserve("heron", other_pocket(clinic)).granted
    assert clinic.reserve("crab", pocket).granted


def test_a_refused_reservation_lets_what_was_kept_for_its_line_go_too(clinic: Clinic) -> None:
    pocket, other = first_pocket(clinic), other_pocket(clinic)
    assert clinic.reserve("heron", pocket).granted
    assert clinic.reserve("crab", other).granted
    assert not clinic.reserve("heron", other).granted
    assert clinic.reserve("crab", pocket).granted


def test_a_lens_is_kept_until_its_own_line_comes(clinic: Clinic) -> None:
    """Heron's lines are slow on their way; meanwhile it asks for a second lens with a later line."""
    pocket, other = first_pocket(clinic), other_pocket(clinic)
    assert clinic.reserve("heron", pocket).granted
    hands = clinic.bench("heron").hands
    hands.send(HelpAsked(at=hands.tick()))
    assert clinic.reserve("heron", other).granted
    assert not clinic.reserve("crab", pocket).granted
    assert not clinic.reserve("crab", other).granted
    clinic.restart()
    clinic.send("crab")
    assert not clinic.reserve("crab", pocket).granted
    clinic.send("heron")  # the first line promised nothing after all
    assert clinic.reserve("crab", pocket).granted
    assert not clinic.reserve("crab", other).granted


def test_lines_that_lenses_are_kept_for_are_bounded(clinic: Clinic) -> None:
    pocket = first_pocket(clinic)
    asked = Reserve(line=1_000, wanted={pocket: 1}, free={pocket: 1})
    assert clinic.hub.reserve("heron", asked).granted
    for line in range(1_001, 1_001 + MOST_KEPT):
        clinic.hub.reserve("heron", Reserve(line=line, wanted={}, free={}))
    assert clinic.reserve("crab", pocket).granted


def test_an_abandoned_pair_gives_its_lens_back(clinic: Clinic) -> None:
    pocket = clinic.planned("heron")
    assert clinic.held("crab", pocket) == 1
    hands = clinic.bench("heron").hands
    hands.send(HelpAsked(at=hands.tick()))
    code = clinic.kit.supervisor_codes[0]
    hands.send(SupervisorAnswered(at=hands.tick(), yes=False, code=code))
    clinic.send("heron")
    assert clinic.bench("heron").bench.closed[-1].outcome == "abandoned"
    assert clinic.held("crab", pocket) == 0
    assert clinic.reserve("crab", pocket).granted


def test_a_plan_taken_back_gives_its_lens_back(clinic: Clinic) -> None:
    """The line that was to promise the lens came, and promises nothing."""
    pocket = first_pocket(clinic)
    clinic.reserve("heron", pocket)
    hands = clinic.bench("heron").hands
    hands.send(HelpAsked(at=hands.tick()))
    clinic.send("heron")
    assert clinic.reserve("crab", pocket).granted


@pytest.mark.parametrize("restarted", [False, True])
def test_time_releases_what_a_silent_bench_had_reserved(clinic: Clinic, restarted: bool) -> None:
    pocket = first_pocket(clinic)
    clinic.reserve("heron", pocket)
    if restarted:
        clinic.restart()
        clinic.send("crab")
    clinic.clock.now += PROMISES_LAST_S
    assert not clinic.reserve("crab", pocket).granted
    clinic.clock.now += 1.0
    assert clinic.reserve("crab", pocket).granted


def test_time_releases_what_a_silent_bench_had_promised(clinic: Clinic) -> None:
    pocket = clinic.planned("heron")
    clinic.clock.now += PROMISES_LAST_S
    assert not clinic.reserve("crab", pocket).granted
    clinic.clock.now += 1.0
    assert clinic.reserve("crab", pocket).granted
    clinic.send("heron")  # it is there again, and the lens was not taken by anybody
    assert clinic.held("crab", pocket) == 1


def test_two_took_the_same_last_lens_while_apart(clinic: Clinic) -> None:
    """Heron takes it; crab, cut off, is sent to an empty pocket, says so, and plans another."""
    heron, crab = clinic.bench("heron"), clinic.bench("crab")
    for one, case in ((heron, "101"), (crab, "102")):
        one.until("order")
        one.order(case)
        one.until("fetch")
    pocket = heron.planned()
    assert crab.planned() == pocket
    crab.hands.at += 60.0  # later than heron, by a clock as right as heron's
    heron.until("read")
    crab.hands.send(Answered(at=crab.hands.tick(), step="fetch", field="check_number", text=NOT_THERE))
    crab.until("read")
    assert crab.planned() != pocket
    clinic.send("crab")
    before = clinic.hub.bank.ledger.differences
    assert [(d.pocket, d.expected, d.found, d.bench) for d in before] == [(pocket, 1, 0, "crab")]
    assert [d.pocket for d in clinic.hub.view().today.to_count] == [pocket]
    clinic.send("heron")  # what heron took explains it
    assert clinic.hub.bank.ledger.differences == ()
    assert clinic.there(pocket) == 0


def test_a_lens_nobody_took_stays_to_be_counted_until_it_is(clinic: Clinic) -> None:
    heron = clinic.bench("heron")
    heron.until("order")
    heron.order()
    heron.until("fetch")
    pocket = heron.planned()
    heron.hands.send(Answered(at=heron.hands.tick(), step="fetch", field="check_number", text=NOT_THERE))
    clinic.send("heron")
    clinic.send("crab")
    assert [d.pocket for d in clinic.hub.bank.ledger.differences] == [pocket]
    writer = clinic.hub.count(CountGiven(pocket=pocket, count=1))
    (count,) = clinic.send(writer).mail
    clinic.take_mail(writer, count)
    clinic.send(writer)
    assert clinic.hub.bank.ledger.differences == ()
    assert clinic.there(pocket) == 1


def test_a_slip_that_is_taken_back_leaves_nothing_to_count(clinic: Clinic) -> None:
    """Heron keys that the pocket is empty, sees its lens, and takes it back."""
    pocket = clinic.planned("heron")
    hands = clinic.bench("heron").hands
    hands.send(Answered(at=hands.tick(), step="fetch", field="check_number", text=NOT_THERE))
    clinic.send("heron")
    assert [d.pocket for d in clinic.hub.bank.ledger.differences] == [pocket]
    hands.send(TakenBack(at=hands.tick()))
    assert clinic.bench("heron").planned() == pocket
    clinic.send("heron")
    assert clinic.hub.bank.ledger.differences == ()
    assert clinic.there(pocket) == 1
    assert clinic.held("crab", pocket) == 1
    clinic.bench("heron").until("read")
    hands.send(TakenBack(at=hands.tick()))  # a lens put back is no slip of that kind
    clinic.send("heron")
    assert clinic.there(pocket) == 1
    assert clinic.hub.bank.ledger.differences == ()


def test_both_lenses_of_a_whole_pair_are_gone_from_the_book(clinic: Clinic) -> None:
    clinic.planned("heron")
    pair = clinic.bench("heron").bench.the_pair
    pockets = [clinic.bench("heron").planned(eye) for eye in pair.eyes]
    clinic.bench("heron").until("order")
    clinic.send("heron")
    assert [clinic.there(pocket) for pocket in pockets] == [0, 0]
    assert clinic.kit.bank.count.sum() - clinic.hub.bank.ledger.there.sum() == 2


def test_what_cannot_be_reserved_is_refused_and_changes_nothing(clinic: Clinic) -> None:
    pocket = first_pocket(clinic)
    clinic.reserve("heron", pocket)
    for line, wanted in ((1, {pocket: 1}), (999, {pocket: 1, 999_999: 1})):
        with pytest.raises(NotDone):
            clinic.hub.reserve("heron", Reserve(line=line, wanted=wanted, free=wanted))
    assert not clinic.reserve("crab", pocket).granted


def test_both_eyes_want_the_same_pocket(clinic: Clinic) -> None:
    pocket = first_pocket(clinic)
    assert not clinic.reserve("heron", pocket, lenses=2).granted
    assert clinic.reserve("heron", pocket, lenses=1).granted


def test_a_count_beside_which_a_lens_was_taken(clinic: Clinic) -> None:
    """The supervisor counts 1; the count waits for crab; heron takes the lens meanwhile: none is there."""
    pocket = clinic.planned("heron")
    clinic.clock.now += 5.0
    clinic.send("crab")
    hands = clinic.bench("crab").hands
    counted_at = clinic.clock.now
    clinic.clock.now += 20.0
    clinic.bench("heron").hands.at = clinic.clock.now
    clinic.bench("heron").until("read")
    clinic.send("heron")
    assert clinic.there(pocket) == 0
    hands.at = clinic.clock.now + 60.0
    hands.send(StockCounted(at=hands.tick(), pocket=pocket, count=1, counted_at=counted_at))
    clinic.send("crab")
    assert clinic.there(pocket) == 0
    assert clinic.held("crab", pocket) == 1  # its own book says one, and it must not plan on it
    assert clinic.bench("crab").bench.stock.at(pocket) == 1
