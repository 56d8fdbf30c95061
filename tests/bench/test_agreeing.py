"""How a bench and its board agree on a lens, with a board that answers as a test wants."""

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
from hands import Hands, order_of

from assistant.bench.linked import MOST_TRIES, LinkedSession, free, promises
from assistant.bench.uplink import WITHIN_S
from assistant.hub.protocol import Reserved
from assistant.kit.profile import Kit
from assistant.workflow.events import Answered, Event

Reply = Callable[[int, Mapping[int, int]], Reserved | None]


class Answering:
    """In place of the uplink: there or not, and every question kept."""

    def __init__(self, reply: Reply, connected: bool = True) -> None:
        self._reply, self.connected = reply, connected
        self.elsewhere: Mapping[int, int] | None = None
        self.trouble = ""
        self.asked: list[tuple[int, dict[int, int], float]] = []

    def wake(self, asking: bool) -> None:
        """Nothing is sent."""

    def reserve(
        self, line: int, wanted: Mapping[int, int], free: Mapping[int, int], within_s: float
    ) -> Reserved | None:
        if not self.connected:
            return None
        self.asked.append((line, dict(wanted), within_s))
        return self._reply(len(self.asked), wanted)


@pytest.fixture
def session(tmp_path: Path, kit: Kit) -> Iterator[LinkedSession]:
    ticks = iter(range(1_762_000_000, 1_763_000_000, 5))
    made, _ = LinkedSession.open(tmp_path, "crab", kit, lambda: float(next(ticks)))
    with made:
        made.begin_day("2026-11-02", [order_of("-2.00/-1.00x30", "-1.50/-0.50x165")])
        while made.bench.current.step != "order":
            made.submit(right(made))
        yield made


def right(session: LinkedSession) -> Event:
    hands, step = Hands(session.bench), session.bench.current.step
    name = hands.listening().field
    return Answered(at=session.now(), step=step, field=name, text=hands.right_answer(step, name))


def linked(session: LinkedSession, reply: Reply, connected: bool = True) -> Answering:
    answering = Answering(reply, connected)
    session.uplink = answering  # type: ignore[assignment]
    return answering


def granted(_: int, wanted: Mapping[int, int]) -> Reserved:
    return Reserved(granted=True, elsewhere={})


def test_a_plan_is_asked_for_once_with_the_line_it_will_have(session: LinkedSession) -> None:
    board = linked(session, granted)
    session.submit(right(session))
    ((line, wanted, within_s),) = board.asked
    assert line == session.lines
    assert wanted == promised(session)
    assert 0.0 < within_s <= WITHIN_S
    assert not session.alone


def test_no_other_entry_of_a_pair_asks(session: LinkedSession) -> None:
    board = linked(session, granted)
    while session.bench.current.step != "hand_over":
        session.submit(right(session))
    assert len(board.asked) == 1


def test_what_is_gone_is_learned_and_another_lens_asked_for(session: LinkedSession) -> None:
    first: dict[int, int] = {}

    def once(times: int, wanted: Mapping[int, int]) -> Reserved:
        if times > 1:
            return granted(times, wanted)
        first.update(wanted)
        return Reserved(granted=False, elsewhere=free(session.bench, wanted))

    board = linked(session, once)
    session.submit(right(session))
    assert len(board.asked) == 2
    assert not set(promised(session)) & set(first)
    assert dict(session.bench.elsewhere) == dict(board.elsewhere or {})


def test_a_board_that_always_says_no_is_asked_a_bounded_number_of_times(session: LinkedSession) -> None:
    board = linked(
        session, lambda times, wanted: Reserved(granted=False, elsewhere=dict.fromkeys(wanted, times))
    )
    session.submit(right(session))
    assert len(board.asked) == MOST_TRIES
    left = [within_s for _, _, within_s in board.asked]
    assert left == sorted(left, reverse=True)
    assert session.bench.current.step == "plan"
    assert session.alone  # the lenses were not granted


def test_a_board_that_does_not_answer_is_asked_once(session: LinkedSession) -> None:
    board = linked(session, lambda times, wanted: None)
    session.submit(right(session))
    assert len(board.asked) == 1
    assert session.alone
    session.submit(right(session))
    assert not session.alone  # nothing is promised by what came after


def test_a_board_that_is_away_is_not_asked_and_what_was_heard_last_counts(session: LinkedSession) -> None:
    board = linked(session, granted, connected=False)
    plain_choice = set(promises(session.bench, session.foreseen(right(session))[0]))
    board.elsewhere = free(session.bench, dict.fromkeys(plain_choice, 1))
    session.submit(right(session))
    assert board.asked == []
    assert session.alone
    assert promised(session)
    assert not set(promised(session)) & plain_choice


def promised(session: LinkedSession) -> dict[int, int]:
    bench = session.bench
    return {
        int(pocket): int(count)
        for pocket, count in zip(bench.kit.bank.pocket, bench.stock.promised, strict=True)
        if count
    }
