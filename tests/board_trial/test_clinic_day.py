"""Real bench processes and one real board on real sockets, with everything that a network and a day can do.

At the end the board's fold is the fold of the benches' records, line for line and byte for byte, and the
ledger says of every pocket what is in it. The whole day (eight benches, five pairs each) runs with WHOLE_DAY=1.
"""

import os
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest
from boards import BoardProcess, Supervisor
from clinic_day import Answering, Incident, Place, Shelf, Worker, send_twice_and_out_of_order
from lan import Air, Lan, lan
from trial_day import Day, check_folds, check_pockets, tell

from assistant.kit.load import demo_kit
from assistant.workflow.steps import BY_ID

NAMES = ("heron", "crab", "turtle", "gull", "squid", "egret", "prawn", "tern")
HOUR_S = 3600.0
EIGHT_PAUSE_S = 0.3


Made = Callable[[Day, Path, Lan], None]

# incidents


def cut(worker: Worker) -> None:
    worker.lane.turn(Air.CUT)


def stall(worker: Worker) -> None:
    worker.lane.turn(Air.STALLED)


def restore(worker: Worker) -> None:
    worker.lane.turn(Air.CLEAR)


def kill_at_rest(worker: Worker) -> None:
    worker.restart()


def kill_under_an_entry(worker: Worker) -> None:
    worker.kill_at_next_key = True


def short_day(day: Day, home: Path, network: Lan) -> None:
    """Three benches, two pairs each."""
    board = day.board

    def mixed_up(worker: Worker) -> None:
        with board.standing:
            send_twice_and_out_of_order(worker, board.address)

    heron: dict[Place, Incident] = {(1, "read"): kill_under_an_entry, (2, "mark"): kill_at_rest}
    crab: dict[Place, Incident] = {(1, "fetch"): cut, (2, "plan"): mixed_up, (2, "dot"): restore}
    turtle: dict[Place, Incident] = {
        (1, "read"): stall,
        (1, "check"): restore,
        (2, "read"): lambda _: board.kill(),
        (2, "fit"): lambda _: board.start(),
    }
    day.bench(home, network, "heron", 2, HOUR_S, heron)
    day.bench(home, network, "crab", 2, 0.0, crab)
    day.bench(home, network, "turtle", 2, -HOUR_S, turtle)


def whole_day(day: Day, home: Path, network: Lan) -> None:
    """Eight benches, five pairs each."""
    day.pause_s = EIGHT_PAUSE_S
    board = day.board

    def mixed_up(worker: Worker) -> None:
        with board.standing:
            send_twice_and_out_of_order(worker, board.address)

    board_dies: dict[Place, Incident] = {
        (2, "read"): lambda _: board.kill(),
        (2, "fit"): lambda _: board.start(),
        (4, "plan"): lambda _: board.kill(),
        (4, "trim"): lambda _: board.start(),
    }
    cut_off: dict[Place, Incident] = {(1, "fetch"): cut, (3, "plan"): mixed_up, (3, "fit"): restore}
    stalled: dict[Place, Incident] = {
        (2, "order"): stall,
        (2, "check"): restore,
        (4, "read"): stall,
        (4, "wearer"): restore,
    }
    killed: dict[Place, Incident] = {
        (1, "read"): kill_under_an_entry,
        (2, "cut"): kill_at_rest,
        (3, "fetch"): kill_under_an_entry,
        (4, "order"): kill_under_an_entry,
        (5, "hand_over"): kill_under_an_entry,
    }
    away_and_killed: dict[Place, Incident] = {
        (1, "order"): cut,
        (2, "trim"): kill_at_rest,
        (3, "wearer"): restore,
        (5, "order"): cut,
    }
    away_for_a_pair: dict[Place, Incident] = {
        (2, "plan"): cut,
        (3, "order"): restore,
        (5, "fetch"): kill_under_an_entry,
    }
    for name, (off_s, what) in zip(
        NAMES,
        (
            (0.0, {}),
            (HOUR_S, cut_off),
            (-HOUR_S, stalled),
            (HOUR_S, killed),
            (0.0, board_dies),
            (-HOUR_S, away_and_killed),
            (17.0, {**stalled, (5, "plan"): kill_at_rest}),
            (-90.0, away_for_a_pair),
        ),
        strict=True,
    ):
        day.bench(home, network, name, 5, off_s, what)


def calm_day(day: Day, home: Path, network: Lan) -> None:
    """Eight benches, two pairs each, and nothing happens: the board alone keeps them from each other's lenses."""
    day.pause_s = EIGHT_PAUSE_S
    for name in NAMES:
        day.bench(home, network, name, 2, 0.0, {})


LONG = pytest.mark.skipif(not os.environ.get("WHOLE_DAY"), reason="takes minutes: WHOLE_DAY=1")


@pytest.mark.timeout(900)
@pytest.mark.parametrize(
    ("made", "tls"),
    [
        (short_day, True),
        pytest.param(calm_day, False, marks=LONG),
        pytest.param(whole_day, False, marks=LONG),
    ],
)
def test_after_everything_the_board_knows_what_the_benches_know(
    tmp_path: Path, made: Made, tls: bool
) -> None:
    kit = demo_kit(BY_ID)
    with ExitStack() as closing:
        board = closing.enter_context(BoardProcess(tmp_path / "board", tls))
        day = Day(board, kit, Shelf(kit.bank))
        supervisor = Supervisor(board)
        closing.callback(supervisor.close)
        network = closing.enter_context(lan())
        began = time.monotonic()
        made(day, tmp_path / "home", network)
        for worker in day.workers:
            closing.enter_context(worker.bench)
        answering = Answering(Supervisor(day.board))
        closing.callback(answering.close)
        day.work()
        took_s = time.monotonic() - began
        day.all_heard(supervisor)
        counted = day.counted(supervisor)
        for worker in day.workers:
            assert set(worker.incidents) == set(worker.happened), f"{worker.bench.name}"
            assert worker.bench.leave() == 0
        assert day.board.end() == 0
    tell(day, answering, took_s, counted)
    check_folds(tmp_path, day)
    check_pockets(tmp_path, day)
