"""A board found on the network, real announcements and sockets."""

import socket
from collections.abc import Iterator
from contextlib import closing

import pytest

from assistant.hub import finding
from assistant.hub.finding import Announcement, find, own_addresses


@pytest.fixture(autouse=True)
def own_kind(monkeypatch: pytest.MonkeyPatch, port: int) -> None:
    """Boards that others start on this network meanwhile are none of ours."""
    monkeypatch.setattr(finding, "KIND", f"_board-{port}._tcp.local.")


@pytest.fixture
def port() -> Iterator[int]:
    with socket.create_server(("0.0.0.0", 0)) as listening:
        yield int(listening.getsockname()[1])


def announced(port: int, addresses: list[str]) -> Announcement:
    try:
        return Announcement("boat", port, "http", addresses)
    except OSError as error:
        pytest.skip(f"this machine's network takes no announcements: {error}")


def test_a_board_is_found_at_an_address_that_takes_connections(port: int) -> None:
    # the first of the two is another computer's, which does not answer
    with closing(announced(port, ["127.99.99.99", "192.0.2.77", *own_addresses()])):
        found = find(8.0)
    assert found is not None
    assert found.endswith(f":{port}")
    assert "192.0.2.77" not in found


def test_the_loopback_is_the_last_resort(port: int) -> None:
    reachable = [address for address in own_addresses() if not address.startswith("127.")]
    if not reachable:
        pytest.skip("this machine has no address but the loopback")
    with closing(announced(port, own_addresses())):
        assert find(8.0) in [f"http://{address}:{port}" for address in reachable]


def test_a_board_that_is_not_wanted_is_passed_over(port: int) -> None:
    addresses = own_addresses()
    with closing(announced(port, addresses)):
        assert find(2.0, besides=[f"http://{address}:{port}" for address in addresses]) is None


def test_a_machine_that_does_not_know_its_own_name_has_addresses(monkeypatch: pytest.MonkeyPatch) -> None:
    def unknown(*_: object) -> None:
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    addresses = own_addresses()
    assert addresses
    assert addresses == sorted(addresses, key=lambda address: address.startswith("127."))


def test_a_board_that_has_gone_is_not_found() -> None:
    with socket.create_server(("127.0.0.1", 0)) as gone:
        port = int(gone.getsockname()[1])
    with closing(announced(port, ["127.0.0.1"])):
        assert find(2.0) is None
