"""Who is let in: by code, then by token; what is kept of either; the wait after wrong ones."""

from collections.abc import Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

import pytest
import sqlalchemy as sql
from clinics import Clock

from assistant.hub.door import MOST_SESSIONS, Door
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Login, Pair, kit_mark
from assistant.hub.store import Store, StoreError
from assistant.hub.tables import TOKENS
from assistant.hub.throttle import MOST_WRONG, WAIT_S
from assistant.kit.profile import Kit


@dataclass
class Entrance:
    kit: Kit
    store: Store
    clock: Clock

    def __post_init__(self) -> None:
        self.mark = kit_mark(self.kit)
        self.door = self.opened()

    def opened(self) -> Door:
        return Door(self.kit, self.mark, self.store, self.clock)

    def pair(self, bench: str, code: str | None = None, mark: str | None = None) -> str:
        return self.door.pair(Pair(bench=bench, code=code or self.door.code, kit=mark or self.mark)).token

    def wrong(self) -> str:
        return f"{(int(self.door.code) + 1) % 1_000_000:06d}"


@pytest.fixture
def entrance(database: Path | str, demo: Kit) -> Iterator[Entrance]:
    store = Store(database)
    yield Entrance(demo, store, Clock())
    store.close()


def refused(status: int) -> AbstractContextManager[object]:
    return pytest.raises(NotDone, check=lambda error: error.status == status)


def test_a_code_pairs_one_bench_and_is_used_up(entrance: Entrance) -> None:
    code = entrance.door.code
    token = entrance.pair("heron")
    assert entrance.door.bench_of(token) == "heron"
    assert entrance.door.paired == ("heron",)
    assert entrance.door.code != code
    with refused(403):
        entrance.pair("crab", code)


def test_a_token_outlives_the_board_and_is_kept_as_a_hash(entrance: Entrance) -> None:
    token = entrance.pair("heron")
    with entrance.store._engine.connect() as connection:
        (row,) = connection.execute(sql.select(TOKENS)).all()
    assert token not in str(tuple(row))
    assert entrance.opened().bench_of(token) == "heron"
    with refused(401):
        entrance.door.bench_of(str(row.hash))  # what is on disk opens nothing


def test_a_bench_let_go_is_let_in_no_more_until_paired_again(entrance: Entrance) -> None:
    token, other = entrance.pair("heron"), entrance.pair("crab")
    entrance.door.revoke("heron")
    for door in (entrance.door, entrance.opened()):
        with refused(401):
            door.bench_of(token)
        assert door.bench_of(other) == "crab"
    with refused(404):
        entrance.door.revoke("heron")
    assert entrance.door.bench_of(entrance.pair("heron")) == "heron"


def test_a_name_that_is_taken_cannot_be_taken_over(entrance: Entrance) -> None:
    token = entrance.pair("heron")
    with refused(409):
        entrance.pair("heron")
    assert entrance.door.bench_of(token) == "heron"


def test_a_full_disk_lets_nobody_in_and_uses_no_code_up(
    entrance: Entrance, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise StoreError("the disk is full")

    code = entrance.door.code
    with monkeypatch.context() as patch:
        patch.setattr(entrance.store, "add_token", full)
        with pytest.raises(StoreError):
            entrance.pair("heron")
    assert (entrance.door.code, entrance.door.paired) == (code, ())
    assert entrance.pair("heron", code)


def test_another_kit_is_not_let_in(entrance: Entrance) -> None:
    with refused(409):
        entrance.pair("heron", mark="0" * 32)
    assert entrance.door.paired == ()


def test_five_wrong_codes_wait_and_change_the_code(entrance: Entrance) -> None:
    code = entrance.door.code
    for _ in range(MOST_WRONG):
        with refused(403):
            entrance.pair("heron", entrance.wrong())
    assert entrance.door.code != code
    with refused(429):
        entrance.pair("heron")
    entrance.clock.now += WAIT_S - 0.5
    with refused(429):
        entrance.pair("heron")
    entrance.clock.now += 1.0
    assert entrance.pair("heron")


def test_a_right_code_makes_good_wrong_ones_before(entrance: Entrance) -> None:
    for name in ("heron", "crab"):
        for _ in range(MOST_WRONG - 1):
            with refused(403):
                entrance.pair(name, entrance.wrong())
        assert entrance.pair(name)


def test_a_supervisor_logs_in_by_code_and_is_known_by_it(entrance: Entrance) -> None:
    for code in entrance.kit.supervisor_codes:
        assert entrance.door.supervisor(entrance.door.login(Login(code=code))) == code
    with refused(401):
        entrance.door.supervisor("")
    with refused(401):
        entrance.opened().supervisor(entrance.door.login(Login(code=entrance.kit.supervisor_codes[0])))


def test_five_wrong_supervisors_codes_wait(entrance: Entrance) -> None:
    right = entrance.kit.supervisor_codes[0]
    for number in range(MOST_WRONG):
        with refused(403):
            entrance.door.login(Login(code=f"9{number}"))
    with refused(429):
        entrance.door.login(Login(code=right))
    assert entrance.pair("heron")  # a bench still pairs
    entrance.clock.now += WAIT_S + 1.0
    assert entrance.door.login(Login(code=right))


def test_a_clock_set_back_makes_the_wait_no_longer(entrance: Entrance) -> None:
    right = entrance.kit.supervisor_codes[0]
    for number in range(MOST_WRONG):
        with refused(403):
            entrance.door.login(Login(code=f"9{number}"))
    entrance.clock.now -= 365 * 86_400.0
    with refused(429):
        entrance.door.login(Login(code=right))
    entrance.clock.now += WAIT_S + 1.0
    assert entrance.door.login(Login(code=right))


def test_sessions_are_bounded(entrance: Entrance) -> None:
    code = entrance.kit.supervisor_codes[0]
    first = entrance.door.login(Login(code=code))
    for _ in range(MOST_SESSIONS):
        last = entrance.door.login(Login(code=code))
    assert entrance.door.supervisor(last) == code
    with refused(401):
        entrance.door.supervisor(first)
