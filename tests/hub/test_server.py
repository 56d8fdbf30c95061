"""Benches, a supervisor's page and strangers at a hub on a real socket."""

import asyncio
import queue
import socket
import threading
from collections.abc import Iterator
from contextlib import ExitStack, closing
from pathlib import Path

import httpx
import pytest
import sqlalchemy as sql
from clinics import Clock
from records import Recorded
from served import Served, record, send, served
from sse_starlette.sse import EventSourceResponse
from starlette.requests import Request

from assistant.hub.bench_side import BenchSide
from assistant.hub.board_side import MOST_PAGES
from assistant.hub.client import HubClient, HubError, Pairing
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import (
    Answer,
    AnswerGiven,
    Mail,
    Upload,
)
from assistant.hub.serving import ServingError, _bound
from assistant.hub.web import Call
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit
from assistant.workflow.events import HelpAsked
from assistant.workflow.state import Bench

CODE = "4071"
WITHIN_S = 10.0
"""Longer than anything here should take on a busy machine."""


@pytest.fixture
def page(hub: Served) -> Iterator[httpx.Client]:
    """The board's page, logged in."""
    with httpx.Client(base_url=hub.address, trust_env=False) as client:
        assert client.post("/api/board/login", json={"code": CODE}).status_code == 200
        yield client


@pytest.fixture
def stranger(hub: Served) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=hub.address, trust_env=False) as client:
        yield client


def asking(name: str = "heron") -> tuple[list[str], int]:
    """A record that ends with a call for help, and the line of it."""
    one = Recorded(name, demo_kit())
    one.hands.send(HelpAsked(at=one.hands.tick()))
    return one.lines, len(one.lines)


class Listener:
    """A bench that listens for its mail in a thread."""

    def __init__(self, pairing: Pairing) -> None:
        self.came: queue.Queue[Mail | None] = queue.Queue()
        self.ended = threading.Event()
        self._client = HubClient(pairing)
        threading.Thread(target=self._listen, daemon=True).start()
        assert self.came.get(timeout=WITHIN_S) is None  # it is connected

    def _listen(self) -> None:
        try:
            for mail in self._client.mail():
                if mail is not None or self.came.empty():
                    self.came.put(mail)
        except (HubError, NotDone):
            pass  # the test sees that it ended
        self.ended.set()

    def mail(self) -> Mail:
        while True:
            mail = self.came.get(timeout=WITHIN_S)
            if mail is not None:
                return mail


def test_a_session_sent_is_folded_on_either_database(database: Path | str, demo: Kit) -> None:
    lines = record("01-smooth-pair")
    with served(database, demo) as hub:
        with HubClient(hub.paired("heron")) as client:
            assert send(client, lines, hub.hub.mark).next == len(lines) + 1
        bench: Bench = hub.call(lambda: hub.hub.stories["heron"].bench)
        assert [closed.outcome for closed in bench.closed] == ["handed_over"]
        view = hub.call(hub.hub.view)
        assert (view.benches[0].name, view.benches[0].lines, view.today.pairs_done) == ("heron", 41, 1)
    with served(database, demo) as again:
        assert again.call(lambda: again.hub.stories["heron"].bench) == bench


def test_an_answer_from_the_page_reaches_its_bench_and_no_other(hub: Served, page: httpx.Client) -> None:
    heron, crab = hub.paired("heron"), hub.paired("crab")
    lines, question = asking()
    with HubClient(heron) as client:
        send(client, lines, hub.hub.mark)
    at_heron, at_crab = Listener(heron), Listener(crab)
    given = {"bench": "heron", "question": question, "yes": True, "reason": "go on"}
    assert page.post("/api/board/answer", json=given).status_code == 200
    assert at_heron.mail() == Answer(question=question, yes=True, code=CODE, reason="go on")
    with HubClient(crab) as client:
        assert send(client, Recorded("crab", hub.hub.kit).lines, hub.hub.mark).mail == []
    assert at_crab.came.empty() or at_crab.came.get() is None


def test_a_bench_cannot_answer_its_own_question_nor_look_at_the_board(hub: Served) -> None:
    pairing = hub.paired("heron")
    lines, question = asking()
    with HubClient(pairing) as client:
        send(client, lines, hub.hub.mark)
        given = AnswerGiven(bench="heron", question=question, yes=True)
        with pytest.raises(NotDone, match="log in with a supervisor's code") as refusal:
            client.post("/api/board/answer", given, Answer)
        assert refusal.value.status == 401
        assert client.http.get("/api/board/view").status_code == 401
        assert client.http.get("/report.csv").status_code == 401
        client.http.cookies.set("board", pairing.token)
        assert client.http.get("/api/board/view").status_code == 401
    assert hub.call(lambda: hub.hub.stories["heron"].bench.question) is not None


def test_a_page_is_no_bench(page: httpx.Client) -> None:
    session = page.cookies["board"]
    headers = {"Authorization": f"Bearer {session}"}
    body = {"line": 1, "wanted": {}, "free": {}}
    assert page.post("/api/reserve", json=body, headers=headers).status_code == 401
    assert page.get("/api/mail", headers=headers).status_code == 401


def test_a_bench_let_go_hears_it_and_is_refused(hub: Served, page: httpx.Client) -> None:
    pairing = hub.paired("heron")
    listener = Listener(pairing)
    assert page.post("/api/board/revoke", json={"bench": "heron"}).status_code == 200
    assert listener.ended.wait(WITHIN_S)
    with HubClient(pairing) as client, pytest.raises(NotDone, match="not paired"):
        send(client, record("01-smooth-pair"), hub.hub.mark)


def test_a_bench_let_go_while_it_begins_to_listen_hears_nothing(hub: Served) -> None:
    """Between the token's being looked at and the first word of the stream."""
    hub.paired("heron")

    async def heard(bench: str) -> list[object]:
        side = BenchSide(hub.hub, hub.door, asyncio.Event())
        response = await side.mail(Call(bench, None, Request({"type": "http"})))
        hub.door.revoke("heron")
        hub.hub.cut_off("heron")
        assert isinstance(response, EventSourceResponse)
        async with asyncio.timeout(WITHIN_S):
            return [piece async for piece in response.body_iterator]

    assert asyncio.run_coroutine_threadsafe(heard("heron"), hub.loop).result(WITHIN_S) == []
    assert hub.call(lambda: hub.hub.known("heron").post) is None


def test_letting_a_bench_go_of_which_nothing_is_known_shows_none(hub: Served) -> None:
    hub.call(lambda: hub.hub.cut_off("gull"))
    assert hub.call(lambda: hub.hub.stories) == {}


def test_what_only_a_supervisor_may(stranger: httpx.Client) -> None:
    assert stranger.post("/api/board/login", json={"code": "1111"}).status_code == 403
    for path in ("/api/board/view", "/api/board/stream", "/report.html", "/report.csv"):
        assert stranger.get(path).status_code == 401, path
    for path in ("/api/board/answer", "/api/board/count", "/api/board/revoke", "/api/board/forget"):
        assert stranger.post(path, json={}).status_code == 401, path
    for path in ("/api/lines", "/api/reserve"):
        assert stranger.post(path, json={}).status_code == 401, path


def test_the_cookie_is_kept_from_scripts_and_other_sites(hub: Served) -> None:
    reply = httpx.post(f"{hub.address}/api/board/login", json={"code": CODE}, trust_env=False)
    cookie = reply.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


def test_the_page_is_told_of_every_change(hub: Served, page: httpx.Client) -> None:
    with page.stream("GET", "/api/board/stream") as reply:
        lines = reply.iter_lines()
        first = next(line for line in lines if line.startswith("data:"))
        assert '"benches":[]' in first
        hub.paired("heron")
        later = next(line for line in lines if line.startswith("data:") and "heron" in line)
        assert '"name":"heron"' in later


def test_pages_are_bounded(page: httpx.Client) -> None:
    def looked(stack: ExitStack) -> tuple[int, Iterator[str]]:
        """Open one more page; its status, and its lines, which must be held for it to stay open."""
        reply = stack.enter_context(page.stream("GET", "/api/board/stream"))
        lines = reply.iter_lines()
        next(lines)
        return reply.status_code, lines

    with ExitStack() as stack:
        held = [looked(stack) for _ in range(MOST_PAGES)]
        assert {status for status, _ in held} == {200}
        assert looked(stack)[0] == 503


def test_reports_are_served_with_no_names_but_benches(hub: Served, page: httpx.Client) -> None:
    with HubClient(hub.paired("heron")) as client:
        send(client, record("01-smooth-pair"), hub.hub.mark)
    assert "heron" in page.get("/report.csv").text
    html = page.get("/report.html")
    assert "heron" in html.text
    assert "default-src 'none'" in html.headers["content-security-policy"]


def test_a_full_disk_is_said_and_the_lines_come_later(hub: Served) -> None:
    lines = record("01-smooth-pair")
    engine = hub.hub._store._engine

    def limit(pages: int) -> None:
        """As though the disk had no more than this; SQLite's own limit, and its own error."""
        engine.dispose()
        sql.event.listen(
            engine, "connect", lambda connection, _: connection.execute(f"PRAGMA max_page_count={pages}")
        )

    with HubClient(hub.paired("heron")) as client:
        hub.call(lambda: limit(1))
        with pytest.raises(NotDone, match="database or disk is full") as refusal:
            send(client, lines, hub.hub.mark)
        assert refusal.value.status == 503
        assert hub.call(lambda: hub.hub.stories["heron"].seq) == 0
        hub.call(lambda: limit(1_000_000))
        assert send(client, lines, hub.hub.mark).next == 42


def test_a_board_that_ended_and_began_again_is_found_by_its_benches(tmp_path: Path) -> None:
    lines = record("01-smooth-pair")
    with served(tmp_path / "hub.db") as first:
        pairing, port = first.paired("heron"), int(first.address.rpartition(":")[2])
        listener = Listener(pairing)
        with HubClient(pairing) as client:
            assert client.upload(Upload(first=1, lines=lines[:20], have=20, now=1.0, kit=first.hub.mark))
    assert listener.ended.wait(WITHIN_S)
    with HubClient(pairing) as client:
        with pytest.raises(HubError, match="was not reached"):
            send(client, lines, first.hub.mark)
        with served(tmp_path / "hub.db", port=port) as again:
            assert send(client, lines, again.hub.mark, first=21).next == 42


def test_five_wrong_codes_wait_over_the_network(tmp_path: Path) -> None:
    clock = Clock()
    with served(tmp_path / "hub.db", clock=clock) as hub:
        wrong = f"{(int(hub.door.code) + 1) % 1_000_000:06d}"
        body = {"bench": "heron", "code": wrong, "kit": hub.hub.mark}
        statuses = [
            httpx.post(f"{hub.address}/api/pair", json=body, trust_env=False).status_code for _ in range(7)
        ]
        assert statuses == [403] * 5 + [429] * 2
        clock.now += 61.0
        assert hub.paired("heron").token


@pytest.mark.skipif(not hasattr(socket, "TCP_USER_TIMEOUT"), reason="this system has no such option")
def test_a_connection_that_died_is_not_held_for_long() -> None:
    with closing(_bound("127.0.0.1", 0)) as listener, socket.create_connection(listener.getsockname()):
        accepted, _ = listener.accept()
        with accepted:
            held_ms = accepted.getsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT)
    assert 0 < held_ms <= 30_000


def test_two_boards_cannot_have_one_address(hub: Served, tmp_path: Path) -> None:
    port = int(hub.address.rpartition(":")[2])
    with (
        pytest.raises(ServingError, match=r"cannot listen.*end it, or"),
        served(tmp_path / "b.db", port=port),
    ):
        pass


@pytest.mark.parametrize(
    ("host", "port", "what_to_do"),
    [
        ("no-such-machine.invalid", 8750, "no machine has this name"),
        ("192.0.2.1", 8750, "this machine has no such address; give"),
        ("127.0.0.1", 65536, "at most 65535"),
    ],
)
def test_an_address_that_cannot_be_had_says_what_to_do(host: str, port: int, what_to_do: str) -> None:
    with pytest.raises(ServingError) as told:
        _bound(host, port)
    assert what_to_do in str(told.value)
    assert "Errno" not in str(told.value)
