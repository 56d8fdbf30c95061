"""The bench's half of the conversation: addresses, the pairing kept on disk, and answers that are no hub's."""

import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from assistant.hub.client import (
    PAIRING_FILE,
    HubClient,
    HubError,
    Pairing,
    load_pairing,
    moved,
    pair,
    save_pairing,
    url_of,
)
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Pair, Upload

MARK = "0" * 32
SIGN_OF_LIFE = Upload(first=1, lines=[], have=0, now=1.0, kit=MARK)


@contextmanager
def answering(status: int, body: bytes, headers: dict[str, str] | None = None) -> Iterator[str]:
    """A server that gives every request the same reply; its address."""

    class Same(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            self.rfile.read(int(self.headers.get("Content-Length", "0")))
            self.send_response(status)
            for name, value in (headers or {}).items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        do_GET = do_POST  # noqa: N815

        def log_message(self, format: str, *args: object) -> None:
            """Nothing."""

    server = HTTPServer(("127.0.0.1", 0), Same)
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


@pytest.mark.parametrize(
    ("typed", "url"),
    [
        ("board", "http://board:8750"),
        ("192.0.2.7", "http://192.0.2.7:8750"),
        ("192.0.2.7:9000", "http://192.0.2.7:9000"),
        ("https://board:9000/", "https://board:9000"),
        ("http://[fe80::1]:9000", "http://[fe80::1]:9000"),
    ],
)
def test_an_address_as_it_is_typed(typed: str, url: str) -> None:
    assert url_of(typed) == url


@pytest.mark.parametrize(
    "typed", ["", "ftp://board", "board:port", "board:99999", "http://board/elsewhere", "http://", "[::1"]
)
def test_an_address_that_cannot_be_used(typed: str) -> None:
    with pytest.raises(HubError, match="board address"):
        url_of(typed)


def test_a_pairing_is_kept_for_nobody_else_to_read(tmp_path: Path) -> None:
    assert load_pairing(tmp_path) is None
    kept = Pairing(address="http://board:8750", token="secret", certificate="PEM")
    save_pairing(tmp_path, kept)
    assert load_pairing(tmp_path) == kept
    assert stat.S_IMODE((tmp_path / PAIRING_FILE).stat().st_mode) == 0o600


@pytest.mark.parametrize(
    ("scheme", "typed", "url"),
    [
        ("http", "10.1.2.3:900", "http://10.1.2.3:900"),
        ("https", "10.1.2.3:900", "https://10.1.2.3:900"),
        ("https", "https://10.1.2.3", "https://10.1.2.3:8750"),
    ],
)
def test_a_board_that_moved_is_spoken_to_as_before(scheme: str, typed: str, url: str) -> None:
    kept = Pairing(address=f"{scheme}://board:8750", token="secret", certificate="PEM")
    assert moved(kept, typed) == Pairing(address=url, token="secret", certificate="PEM")


@pytest.mark.parametrize(("scheme", "typed"), [("https", "http://10.1.2.3"), ("http", "https://10.1.2.3")])
def test_a_token_is_not_sent_with_less_than_it_was_given_under(scheme: str, typed: str) -> None:
    kept = Pairing(address=f"{scheme}://board:8750", token="secret", certificate="PEM")
    with pytest.raises(HubError, match=f"allowed is {scheme}://host:port, or pair it again"):
        moved(kept, typed)


@pytest.mark.parametrize("data", [b"", b"{", b'{"address":"x"}', b'{"address":1,"token":"t"}', b"\xff\xfe"])
def test_a_torn_pairing_is_said_with_what_to_do(tmp_path: Path, data: bytes) -> None:
    (tmp_path / PAIRING_FILE).write_bytes(data)
    with pytest.raises(HubError, match="pair the bench again"):
        load_pairing(tmp_path)


@pytest.mark.parametrize(
    ("status", "body"),
    [
        (200, b"<html>Welcome to the guest network</html>"),
        (200, b"{}"),
        (200, b'{"next":"three"}'),
        (200, b" " * 1_100_000),
        (404, b"not here"),
        (500, b""),
        (502, b"<html>Bad gateway</html>"),
    ],
)
def test_what_is_no_hub_is_said_in_a_sentence(status: int, body: bytes) -> None:
    with (
        answering(status, body) as address,
        HubClient(Pairing(address=address, token="t")) as client,
        pytest.raises(HubError, match="was not reached"),
    ):
        client.upload(SIGN_OF_LIFE)


def test_a_refusal_is_told_as_it_is() -> None:
    body = b'{"code":"wait","what":"five wrong codes were tried; wait 12 seconds"}'
    with answering(429, body) as address, pytest.raises(NotDone, match="wait 12 seconds") as refusal:
        pair(address, Pair(bench="heron", code="123456", kit=MARK))
    assert refusal.value.status == 429


def test_nothing_is_followed_to_another_address() -> None:
    """A network that sends everybody to its own page does not get the token."""
    with answering(200, b'{"next":1}') as other, answering(302, b"", {"Location": other}) as address:
        client = HubClient(Pairing(address=address, token="t"))
        with client, pytest.raises(HubError, match="was not reached"):
            client.upload(SIGN_OF_LIFE)


def test_mail_that_is_no_mail_is_said() -> None:
    body = b'data: {"kind":"answer","question":"many"}\n\n'
    with answering(200, body) as address, HubClient(Pairing(address=address, token="t")) as client:
        mail = client.mail()
        assert next(mail) is None
        with pytest.raises(HubError, match="went silent"):
            next(mail)


def test_nobody_there() -> None:
    with answering(200, b"") as address:
        pass
    with (
        HubClient(Pairing(address=address, token="t")) as client,
        pytest.raises(HubError, match="was not reached"),
    ):
        client.upload(SIGN_OF_LIFE)
