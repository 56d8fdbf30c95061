"""A board whose machine comes onto a network late, or changes its address there."""

import asyncio
import contextlib
import io
from pathlib import Path

import pytest
from full_board import morning

from assistant.board import whereabouts
from assistant.board.plain import Plain
from assistant.board.whereabouts import Whereabouts


class Network:
    """Stands in for announcements: what is known on it now."""

    def __init__(self) -> None:
        self.known: list[tuple[int, str, list[str]]] = []
        self.takes = True

    def announcement(self, clinic: str, port: int, scheme: str, addresses: list[str]) -> "Known":
        if not self.takes:
            raise OSError("no network")
        return Known(self, (port, scheme, addresses))


class Known:
    def __init__(self, network: Network, told: tuple[int, str, list[str]]) -> None:
        self._network, self._told = network, told
        network.known.append(told)

    def close(self) -> None:
        self._network.known.remove(self._told)


@pytest.fixture
def network(monkeypatch: pytest.MonkeyPatch) -> Network:
    made = Network()
    monkeypatch.setattr(whereabouts, "Announcement", made.announcement)
    return made


def test_a_router_that_comes_up_later_is_seen_and_the_board_made_known_anew(
    tmp_path: Path, network: Network, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(whereabouts, "AGAIN_S", 0.01)
    desk, sink = morning(tmp_path).desk, io.StringIO()
    plain = Plain(desk, sink, tmp_path)
    addresses = ["127.0.0.1"]

    async def day() -> None:
        where = Whereabouts(desk, "http", 8750, lambda: list(addresses), announces=True)
        await where.tell()
        plain.look()
        assert network.known == [(8750, "http", ["127.0.0.1"])]
        telling = asyncio.create_task(where.keep_telling())
        before = desk.state
        addresses.insert(0, "192.168.8.2")
        async with asyncio.timeout(10):
            while network.known != [(8750, "http", ["192.168.8.2", "127.0.0.1"])]:
                await asyncio.sleep(0.01)
        assert desk.state != before
        telling.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await telling
        await where.close()

    asyncio.run(day())
    assert network.known == []
    assert desk.view().addresses == ["192.168.8.2:8750", "127.0.0.1:8750"]
    plain.look()
    told = [line for line in sink.getvalue().splitlines() if line.startswith("pairing code")]
    assert [line.partition(" at ")[2] for line in told] == [
        "127.0.0.1:8750",
        "192.168.8.2:8750 or 127.0.0.1:8750",
    ]


def test_a_network_that_takes_no_announcement_is_said_and_leaves_the_address(
    tmp_path: Path, network: Network, capsys: pytest.CaptureFixture[str]
) -> None:
    desk = morning(tmp_path).desk
    network.takes = False

    async def day() -> None:
        where = Whereabouts(desk, "https", 8750, lambda: ["10.0.0.2"], announces=True)
        await where.tell()
        await where.close()

    asyncio.run(day())
    assert "benches must be given the address; not announced (no network)" in capsys.readouterr().err
    assert desk.view().addresses == ["https://10.0.0.2:8750"]
