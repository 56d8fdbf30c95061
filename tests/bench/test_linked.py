"""A bench and its board: real sockets, a network that can be cut, and the record as the only outbox."""

import sys
import time
from collections.abc import Callable, Collection, Iterator
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from lan import Air, lan
from seats import PATIENCE_S, Room, until
from served import served
from textual.pilot import Pilot
from textual.widgets import Static

from assistant.bench import board_link, plain
from assistant.bench import uplink as sending
from assistant.bench.app import BenchApp
from assistant.bench.board_link import board_of, linked
from assistant.bench.linked import Arrivals
from assistant.hub.client import HubClient
from assistant.hub.protocol import AnswerGiven, Counted, CountGiven
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit
from assistant.ui.glyphs import Glyphs
from assistant.workflow.events import BankShared, HelpAsked, StockCounted, SupervisorAnswered
from assistant.workflow.present import present
from assistant.workflow.steps import BY_ID

CODE = "4071"


@pytest.fixture(scope="module")
def one_of_each() -> Kit:
    """The demonstration kit with one lens in each pocket: every lens is the last one."""
    kit = demo_kit(BY_ID)
    count = np.minimum(kit.bank.count, 1)
    count.flags.writeable = False
    return replace(kit, bank=replace(kit.bank, count=count))


@pytest.fixture
def room(tmp_path: Path, one_of_each: Kit) -> Iterator[Room]:
    with ExitStack() as closing:
        hub = closing.enter_context(served(tmp_path / "hub.db", one_of_each))
        network = closing.enter_context(lan())
        with ExitStack() as seats:
            yield Room(hub, network, tmp_path, seats, one_of_each)


def test_the_record_goes_up_and_the_answer_comes_back(room: Room) -> None:
    seat = room.seat("heron")
    seat.work("order")
    seat.session.submit(HelpAsked(at=seat.session.now()))
    until(lambda: room.caught_up(seat))
    question = seat.session.question_line
    given = AnswerGiven(bench="heron", question=question, yes=True, reason="go on")
    room.hub.call(lambda: room.hub.hub.answer(CODE, given))
    until(lambda: seat.take_mail() == 1)
    assert seat.session.bench.current.step == "order"
    assert seat.recorded(SupervisorAnswered) == 1
    until(lambda: room.caught_up(seat))
    assert seat.take_mail() == 0


@pytest.mark.parametrize(("does", "what"), [("upload", "sending to"), ("mail", "hearing")])
def test_a_fault_that_nobody_foresaw_is_told_and_the_bench_goes_on_trying(
    room: Room, monkeypatch: pytest.MonkeyPatch, does: str, what: str
) -> None:
    seat = room.seat("heron")
    told: list[str] = []

    def faulty(client: HubClient, *_: object) -> None:
        raise LookupError("no such thing")

    def noted(where: str, error: Exception) -> str:
        """What the bench tells of it, kept: an answer on the other line may wipe it off the sign at once."""
        told.append(telling(where, error))
        return told[-1]

    telling = sending._unforeseen
    with monkeypatch.context() as patched:
        patched.setattr(HubClient, does, faulty)
        patched.setattr(sending, "_unforeseen", noted)
        seat.lane.turn(Air.CUT)
        seat.lane.turn(Air.CLEAR)
        until(lambda: any(f"{what} the board failed in a way nobody foresaw (LookupError" in w for w in told))
    seat.work("order")
    until(lambda: room.caught_up(seat) and not seat.session.alone)


def test_the_answer_comes_though_the_mail_s_own_stream_is_dead(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(HubClient, "mail", lambda client: iter(()))
    seat = room.seat("heron")
    seat.work("order")
    seat.session.submit(HelpAsked(at=seat.session.now()))
    until(lambda: room.caught_up(seat))
    given = AnswerGiven(bench="heron", question=seat.session.question_line, yes=True)
    room.hub.call(lambda: room.hub.hub.answer(CODE, given))
    until(lambda: seat.take_mail() == 1)
    assert seat.session.bench.question is None


def test_cut_off_it_works_on_with_a_sign_and_all_is_sent_later(room: Room) -> None:
    seat = room.seat("heron")
    seat.lane.turn(Air.CUT)
    seat.work("cut")
    assert seat.session.alone
    known = room.lines("heron")
    assert known < seat.session.lines
    seat.lane.turn(Air.CLEAR)
    until(lambda: room.caught_up(seat) and not seat.session.alone)


def test_a_board_that_only_stalls_is_left_alone_soon(room: Room) -> None:
    seat = room.seat("heron")
    seat.lane.turn(Air.STALLED)
    seat.work("plan")
    assert seat.session.alone
    assert seat.promised
    seat.lane.turn(Air.CLEAR)
    until(lambda: room.caught_up(seat))
    assert seat.session.alone  # this plan was made without the board
    seat.key("")
    until(seat.reached)


def test_two_are_never_sent_to_the_same_last_lens(room: Room) -> None:
    seats = [room.seat(name) for name in ("heron", "crab", "turtle", "gull")]
    for seat in seats:
        seat.work("plan")
    taken = [pocket for seat in seats for pocket in seat.promised]
    assert len(taken) == len(set(taken)) == 8
    assert not any(seat.session.alone for seat in seats)


def test_alone_it_plans_on_what_it_last_knew_of_the_others(room: Room) -> None:
    heron, crab = room.seat("heron"), room.seat("crab")
    heron.work("plan")
    until(lambda: room.caught_up(heron))
    crab.work("order")
    until(lambda: room.caught_up(crab))
    uplink = crab.session.uplink
    assert uplink is not None
    until(lambda: bool(uplink.elsewhere))
    crab.lane.turn(Air.CUT)
    until(lambda: crab.session.alone)
    crab.work("plan")
    assert crab.session.alone
    assert not heron.promised & crab.promised
    assert crab.recorded(BankShared) == 1


def test_a_lens_that_somebody_alone_took_is_planned_again_at_once(room: Room) -> None:
    heron, crab = room.seat("heron"), room.seat("crab")
    crab.lane.turn(Air.CUT)
    until(lambda: crab.session.alone)
    crab.work("fetch")
    heron.work("fetch")
    assert crab.promised == heron.promised
    heron.work("dot")
    crab.key("-")
    assert crab.session.bench.current.step in ("fetch", "plan")
    plan = crab.session.bench.the_pair.plan
    assert plan.right.lens is not None
    assert plan.right.lens.pocket not in heron.promised
    crab.lane.turn(Air.CLEAR)
    until(lambda: room.caught_up(crab) and room.caught_up(heron))
    # the books of both explain what was found: nothing is left to count
    assert room.hub.call(lambda: room.hub.hub.bank.ledger.differences) == ()


def test_a_count_made_during_a_cut_is_written_down_once(room: Room) -> None:
    heron = room.seat("heron")
    heron.work("order")
    until(lambda: room.caught_up(heron))
    heron.lane.turn(Air.STALLED)
    pocket = int(room.kit.bank.pocket[3])
    room.hub.call(lambda: room.hub.hub.count(CountGiven(pocket=pocket, count=0)))
    heron.session.submit(HelpAsked(at=heron.session.now()))
    until(lambda: heron.session.alone)
    heron.lane.turn(Air.CLEAR)
    until(lambda: (heron.take_mail(), heron.recorded(StockCounted))[1] > 0)
    until(lambda: room.caught_up(heron))
    time.sleep(0.6)  # the mail's stream comes up again by now, and brings it once more
    heron.take_mail()
    assert heron.recorded(StockCounted) == 1
    assert heron.session.bench.stock.at(pocket) == 0


def test_a_count_that_changes_nothing_at_the_step_does_not_say_it_all_again(room: Room) -> None:
    heron = room.seat("heron")
    heron.work("fetch")
    other = int(next(number for number in room.kit.bank.pocket if number not in heron.promised))
    session = heron.session
    assert session.received(Counted(pocket=other, count=9, counted_at=1.0)) == ()
    assert session.bench.stock.at(other) == 9
    assert heron.recorded(StockCounted) == 1


def test_a_board_that_was_found_is_looked_for_where_it_is_now(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    seat = room.seat("heron")
    seat.lane.turn(Air.CUT)
    kept = board_of(seat.folder, "heron", room.kit, None, None)
    found = replace(kept, found=True)
    monkeypatch.setattr(board_link, "_look", lambda besides: room.hub.address)
    session, arrivals = seat.session, Arrivals()
    with linked(session, found, arrivals):
        until(lambda: session.uplink is not None and session.uplink.connected)
        seat.work("order")
        until(lambda: room.caught_up(seat))


def test_another_clinic_s_board_that_was_found_is_left_for_one_s_own(
    room: Room, tmp_path: Path, one_of_each: Kit, monkeypatch: pytest.MonkeyPatch
) -> None:
    seat = room.seat("heron")
    seat.lane.turn(Air.CUT)
    kept = board_of(seat.folder, "heron", room.kit, None, None)
    session, arrivals = seat.session, Arrivals()
    monkeypatch.setattr(sending, "REFUSED_AGAIN_S", 0.05)
    with served(tmp_path / "other.db", one_of_each) as other:

        def look(besides: Collection[str]) -> str | None:
            return next((board for board in (other.address, room.hub.address) if board not in besides), None)

        monkeypatch.setattr(board_link, "_look", look)
        with linked(session, replace(kept, found=True), arrivals):
            until(lambda: session.uplink is not None and session.uplink.connected)
            seat.work("plan")
            assert not session.alone, "lenses are asked for where the board is now"
            until(lambda: room.caught_up(seat))
        assert other.call(lambda: other.hub.stories) == {}


def test_a_search_that_fails_does_not_end_the_sending(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    seat = room.seat("heron")
    seat.lane.turn(Air.CUT)
    kept = board_of(seat.folder, "heron", room.kit, None, None)
    session, arrivals = seat.session, Arrivals()

    def look(besides: Collection[str]) -> str | None:
        raise RuntimeError("the network's own program is not running")

    monkeypatch.setattr(board_link, "_look", look)
    with linked(session, replace(kept, found=True), arrivals):
        uplink = session.uplink
        assert uplink is not None
        until(lambda: "not running" in uplink.trouble)
        seat.lane.turn(Air.CLEAR)
        until(lambda: uplink.connected)


def test_a_fault_in_asking_for_a_lens_does_not_end_the_bench(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    seat = room.seat("heron")
    told: list[str] = []

    def faulty(client: HubClient, *_: object) -> None:
        raise LookupError("no such thing")

    def noted(what: str, error: Exception) -> str:
        told.append(telling(what, error))
        return told[-1]

    telling = sending._unforeseen
    with monkeypatch.context() as patched:
        patched.setattr(HubClient, "reserve", faulty)
        patched.setattr(sending, "_unforeseen", noted)
        seat.work("fetch")
    assert seat.promised
    assert told == ["asking the board failed in a way nobody foresaw (LookupError: no such thing)"]


def test_a_bench_let_go_works_on_and_says_why_to_the_supervisor(room: Room) -> None:
    seat = room.seat("heron")
    room.hub.call(lambda: room.hub.door.revoke("heron"))
    seat.work("order")
    until(lambda: seat.session.alone)
    assert seat.session.board_trouble == ""
    seat.session.submit(HelpAsked(at=seat.session.now()))
    until(lambda: "pair it" in seat.session.board_trouble)


def test_the_sign_stands_in_plain_mode(room: Room, capsys: pytest.CaptureFixture[str]) -> None:
    seat = room.seat("heron")
    plain.run(seat.session, (), ["1"], sys.stdout)
    assert plain.ALONE not in capsys.readouterr().out
    seat.lane.turn(Air.CUT)
    until(lambda: seat.session.alone)
    plain.run(seat.session, (), ["*"], sys.stdout)
    assert plain.ALONE in capsys.readouterr().out


def test_a_line_too_long_for_any_answer_is_not_taken_in_plain_mode(
    room: Room, capsys: pytest.CaptureFixture[str]
) -> None:
    seat = room.seat("heron")
    before = seat.session.lines
    plain.run(seat.session, (), ["7" * 300_000, "*"], sys.stdout)
    said = capsys.readouterr().out
    assert "the line has 300000 characters; allowed are 200\n" in said
    assert seat.session.lines == before + 1


async def shown(pilot: Pilot[None], true: Callable[[], bool]) -> None:
    """Wait for what the screen takes up by itself. Raises `AssertionError` when it does not come."""
    end = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < end, "it never showed"
        await pilot.pause(0.05)


async def test_the_screen_shows_the_sign_and_takes_the_board_s_answer(room: Room) -> None:
    seat = room.seat("heron")
    seat.work("order")
    app = BenchApp(seat.session, present(seat.session.bench), Glyphs.ASCII)
    app.arrivals = seat.arrivals
    async with app.run_test(size=(80, 24)) as pilot:
        sign = app.screen.query_one("#board", Static)
        await shown(pilot, lambda: str(sign.content) == "o<->o")
        await key_on(pilot, "slash")
        question = seat.session.question_line
        assert seat.session.bench.current.step == "supervisor"
        until(lambda: room.caught_up(seat))
        given = AnswerGiven(bench="heron", question=question, yes=True)
        room.hub.call(lambda: room.hub.hub.answer(CODE, given))
        await shown(pilot, lambda: seat.session.bench.current.step == "order")
        seat.lane.turn(Air.CUT)
        await shown(pilot, lambda: str(sign.content) == "o   x" and sign.has_class("away"))
        await key_on(pilot, "slash")
        assert "the board at http" in app.caption


async def key_on(pilot: Pilot[None], name: str) -> None:
    await pilot.press(name)
    await pilot.pause()
