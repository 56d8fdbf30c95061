"""Does a bench wait for its board? One entry, from its line to what is shown, with the board in five states.

`python tests/benchmarks/bench_link.py [ROUNDS]`, about 40 seconds a round. The board is a process of its own;
the network in between is a proxy that cuts, stalls or delays. Five benches take an entry in turn, one in each
state, so that whatever else the computer does falls on all of them.
"""

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parent.parent))

from boards import BoardProcess
from hands import Hands, order_of
from lan import Air, Lan, Lane, lan

from assistant.bench.board_link import board_of, linked
from assistant.bench.linked import Arrivals, LinkedSession
from assistant.kit.load import demo_kit, demo_orders
from assistant.kit.profile import Kit
from assistant.workflow.events import Answered, HelpAsked
from assistant.workflow.steps import BY_ID

ENTRY_S = 0.05
"""Between two entries, whichever bench they are for."""
PLANS = 20
DELAY_S = 1.0
NO_BOARD = "no board asked for"
STATES: dict[str, Callable[[Lane], None]] = {
    NO_BOARD: lambda lane: None,
    "present": lambda lane: None,
    "absent: refused": lambda lane: lane.turn(Air.CUT),
    "absent: silent": lambda lane: lane.turn(Air.STALLED),
    f"slow: {DELAY_S:g} s each way": lambda lane: setattr(lane, "delay_s", DELAY_S),
}

Times = dict[str, list[float]]


class Timed:
    """A session worked by careful hands, entry by entry, every one timed once `times` is set."""

    def __init__(self, session: LinkedSession) -> None:
        self.session = session
        self.times: Times | None = None

    def key(self, text: str) -> None:
        time.sleep(ENTRY_S)
        step, name = self.session.bench.current.step, Hands(self.session.bench).listening().field
        began = time.perf_counter()
        self.session.submit(Answered(at=self.session.now(), step=step, field=name, text=text))
        if self.times is not None:
            called = "plan" if step == "order" else "entry"
            self.times[called].append(1000.0 * (time.perf_counter() - began))

    def until(self, wanted: str) -> Iterator[None]:
        while (step := self.session.bench.current.step) != wanted:
            hands = Hands(self.session.bench)
            self.key(hands.right_answer(step, hands.listening().field))
            yield

    def pairs(self) -> Iterator[None]:
        """A pair, then plans that the supervisor stops, so that their lenses are free again."""
        yield from self.until("hand_over")
        self.key("")
        for _ in range(PLANS):
            yield from self.until("plan")
            self.session.submit(HelpAsked(at=self.session.now()))
            for text in ("4071", "-"):
                self.key(text)
                yield


def seated(
    closing: ExitStack, folder: Path, kit: Kit, program: BoardProcess, lane: Lane, state: str
) -> Timed:
    folder.mkdir()
    asked, code = state != NO_BOARD, program.code
    codes = (code,) if asked else None
    board = board_of(folder, folder.name, kit, lane.address if asked else None, codes)
    if board.trouble:
        raise SystemExit(board.trouble)
    session, _ = LinkedSession.open(folder, folder.name, kit, time.time)
    closing.enter_context(session)
    closing.enter_context(linked(session, board, Arrivals()))
    if asked:
        program.code_after(code)
    cases = range(900, 900 + PLANS)
    orders = [order_of("-2.00/-1.00x30", "-1.50/-0.50x165", case=str(case)) for case in cases]
    session.begin_day("2026-11-02", [demo_orders()[0], *orders])
    return Timed(session)


def one_round(home: Path, kit: Kit, program: BoardProcess, network: Lan, times: dict[str, Times]) -> None:
    """A bench in each state, an entry at each in turn."""
    with ExitStack() as closing:
        lanes = {state: network.lane(program.port) for state in STATES}
        benches = {
            state: seated(closing, home / f"bench-{place}", kit, program, lanes[state], state)
            for place, state in enumerate(STATES)
        }
        in_turn([bench.until("order") for bench in benches.values()])  # the board has answered by now
        for state, bench in benches.items():
            STATES[state](lanes[state])
            bench.times = times[state]
        in_turn([bench.pairs() for bench in benches.values()])


def in_turn(works: list[Iterator[None]]) -> None:
    while works:
        works = [work for work in works if next(work, works) is not works]


def told(name: str, times: dict[str, Times]) -> None:
    base = median(times[NO_BOARD][name])
    print(f"{name:6} {'':22} {'n':>5} {'median':>8} {'99th':>8} {'worst':>8}  ms   median to no board")
    for state, found in times.items():
        ordered = sorted(found[name])
        late = ordered[min(len(ordered) - 1, int(0.99 * len(ordered)))]
        print(
            f"       {state:22} {len(ordered):5} {median(ordered):8.2f} {late:8.2f} {ordered[-1]:8.1f}"
            f"       {median(ordered) / base:5.2f}"
        )


def main(rounds: int) -> None:
    kit = demo_kit(BY_ID)
    times: dict[str, Times] = {state: {"entry": [], "plan": []} for state in STATES}
    for _ in range(rounds):
        with ExitStack() as closing:
            home = Path(closing.enter_context(tempfile.TemporaryDirectory()))
            program = closing.enter_context(BoardProcess(home / "board"))
            one_round(home, kit, program, closing.enter_context(lan()), times)
    told("entry", times)
    told("plan", times)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
