"""Requests with a wrong size, kind, place or pace, at a hub on a real socket."""

import socket
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import httpx
import numpy as np
import pytest
from records import Recorded
from served import Served, record, send, served

from assistant.hub import web
from assistant.hub.client import HubClient, Pairing
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import (
    MOST_BODY_BYTES,
    MOST_LINES,
    MOST_SMALL_BODY_BYTES,
    Answer,
    Pair,
    Upload,
)
from assistant.kit.bank import Bank
from assistant.kit.profile import Kit
from assistant.workflow.events import BankShared

WITHIN_S = 10.0


@pytest.fixture
def stranger(hub: Served) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=hub.address, trust_env=False) as client:
        yield client


@pytest.mark.parametrize(
    ("path", "most"),
    [("/api/pair", MOST_SMALL_BODY_BYTES), ("/api/board/login", MOST_SMALL_BODY_BYTES)],
)
def test_a_body_is_read_no_further_than_allowed(stranger: httpx.Client, path: str, most: int) -> None:
    headers = {"Content-Type": "application/json"}
    assert stranger.post(path, content=b" " * most + b"{}", headers=headers).status_code == 413
    assert stranger.post(path, content=b" " * (most - 2) + b"{}", headers=headers).status_code == 400


def test_an_upload_too_long_is_refused_and_changes_nothing(hub: Served) -> None:
    lines = record("01-smooth-pair")
    with HubClient(hub.paired("heron")) as client:
        padded = Upload(first=1, lines=[" " * 16_000] * 70, have=70, now=1.0, kit=hub.hub.mark)
        with pytest.raises(NotDone, match=f"allowed are {MOST_BODY_BYTES} bytes"):
            client.upload(padded)
        many = Upload(first=1, lines=["x"] * (MOST_LINES + 1), have=201, now=1.0, kit=hub.hub.mark)
        with pytest.raises(NotDone, match="length <= 200"):
            client.upload(many)
        assert hub.call(lambda: hub.hub.stories["heron"].seq) == 0
        assert send(client, lines, hub.hub.mark).next == 42


def test_a_line_that_tells_of_every_pocket_of_a_large_bank_is_taken(tmp_path: Path, demo: Kit) -> None:
    """A bench whose line is refused is cut off for good: it has no other to send."""
    pockets = 20_000
    repeated = np.arange(pockets) % len(demo.bank)
    bank = Bank(
        demo.bank.sphere[repeated],
        demo.bank.cylinder[repeated],
        demo.bank.count[repeated],
        np.arange(1, pockets + 1),
        tuple(demo.bank.check_number[row] for row in repeated),
    )
    kit = replace(demo, bank=bank)
    one = Recorded("heron", kit)
    told = dict.fromkeys(range(1, pockets + 1), 99)
    one.hands.send(BankShared(at=one.hands.tick(), elsewhere=told))
    with served(tmp_path / "hub.db", kit) as hub, HubClient(hub.paired("heron")) as client:
        assert send(client, one.lines, hub.hub.mark).next == len(one.lines) + 1


def test_what_is_not_json_or_not_asked(hub: Served, stranger: httpx.Client) -> None:
    assert stranger.post("/api/pair", content=b"{}").status_code == 415
    form = {"Content-Type": "text/plain"}
    assert stranger.post("/api/pair", content=b"{}", headers=form).status_code == 415
    assert stranger.get("/api/pair").status_code == 405
    for path in ("/nothing", "/../etc/passwd", "/page/board.html", "/%2e%2e/hub.db", "/a/b/c"):
        reply = stranger.get(path)
        assert reply.status_code == 404, path
        assert reply.json()["code"] == "path"


def test_a_body_that_does_not_come_is_not_waited_for(hub: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(web, "BODY_S", 0.2)
    port = int(hub.address.rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), timeout=WITHIN_S) as connection:
        connection.sendall(
            b"POST /api/pair HTTP/1.1\r\nHost: board\r\nContent-Type: application/json\r\n"
            b"Content-Length: 100\r\n\r\n{"
        )
        assert connection.recv(100).startswith(b"HTTP/1.1 408")


def test_a_name_no_bench_may_have(hub: Served) -> None:
    for name in ("", "a" * 41, "heron\n", "../heron", "hérón", "a b"):
        with pytest.raises(NotDone) as refusal, HubClient(Pairing(address=hub.address, token="")) as client:
            client.post("/api/pair", Pair(bench=name, code=hub.door.code, kit=hub.hub.mark), Answer)
        assert refusal.value.status == 400
