"""How a bench speaks to the hub. Every call waits a bounded time and raises `HubError` or `NotDone`."""

import re
import ssl
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeVar
from urllib.parse import urlsplit

import httpx
import msgspec

from assistant.hub.notdone import NotDone
from assistant.hub.private_file import write_private
from assistant.hub.protocol import (
    SILENT_S,
    BadMessage,
    Mail,
    Pair,
    Paired,
    Refused,
    Reserve,
    Reserved,
    Taken,
    Upload,
    decode,
    decode_mail,
    encode,
)

CALL_S: Final = 3.0
RESERVE_S: Final = 0.5
"""The one call a helper waits for, and only while the board answers."""
MOST_REPLY_BYTES: Final = 1_048_576
DEFAULT_PORT: Final = 8750
PAIRING_FILE: Final = "board.json"
_DATA: Final = "data:"
_HOST: Final = re.compile(r"[A-Za-z0-9._-]+|[0-9A-Fa-f:.]+")

M = TypeVar("M", bound=msgspec.Struct)


class HubError(Exception):
    """The hub was not reached, or what answered is no hub; one sentence."""


class Pairing(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a bench keeps of its pairing, in `board.json` beside its record."""

    address: str
    token: str
    certificate: str = ""
    """The board's own certificate (PEM), trusted alone; empty without TLS."""


def url_of(address: str) -> str:
    """`host`, `host:port` or a whole URL as a base URL. Raises `HubError`."""
    try:
        parts = urlsplit(address if "://" in address else f"http://{address}")
        port = DEFAULT_PORT if parts.port is None else parts.port
        host = (parts.hostname or "").encode("idna").decode()
    except ValueError:
        parts, host, port = urlsplit(""), "", 0
    good = _HOST.fullmatch(host) and port > 0 and parts.scheme in ("http", "https")
    if not good or parts.path not in ("", "/") or parts.query or parts.fragment or parts.username:
        raise HubError(
            f"board address {address!r} cannot be used; allowed is host, host:port or http(s)://host:port,"
            " with a port from 1 to 65535"
        )
    return f"{parts.scheme}://{f'[{host}]' if ':' in host else host}:{port}"


def load_pairing(folder: Path) -> Pairing | None:
    """The pairing kept in a bench's folder; None if there is none. Raises `HubError`."""
    path = folder / PAIRING_FILE
    if not path.exists():
        return None
    try:
        return decode(path.read_bytes(), Pairing)
    except BadMessage as error:
        raise HubError(f"{path} is no pairing: {error}; pair the bench again") from error


def save_pairing(folder: Path, pairing: Pairing) -> None:
    """Whole or not at all, and for nobody else to read. Raises `OSError`."""
    write_private(folder / PAIRING_FILE, encode(pairing))


def pair(address: str, request: Pair) -> Pairing:
    """Pair a bench with the board at `address`. Raises `HubError`, `NotDone`.

    With https the certificate that answers now is kept and trusted alone from then on; compare the board's
    fingerprint if the network is not your own.
    """
    url = url_of(address)
    certificate = _certificate(url) if url.startswith("https") else ""
    with HubClient(Pairing(address=url, token="", certificate=certificate)) as client:
        token = client.post("/api/pair", request, Paired).token
    return Pairing(address=url, token=token, certificate=certificate)


def moved(pairing: Pairing, address: str) -> Pairing:
    """The same board at another address, encrypted if it was: a token given under TLS never goes out in the open.

    Raises `HubError`.
    """
    scheme = pairing.address.partition("://")[0]
    url = url_of(address if "://" in address else f"{scheme}://{address}")
    if url.partition("://")[0] != scheme:
        raise HubError(
            f"board address {address!r} cannot be used; this bench was paired over {scheme},"
            f" allowed is {scheme}://host:port, or pair it again"
        )
    return msgspec.structs.replace(pairing, address=url)


def _certificate(url: str) -> str:
    parts = urlsplit(url)
    try:
        return ssl.get_server_certificate((parts.hostname or "", parts.port or DEFAULT_PORT), timeout=CALL_S)
    except OSError as error:
        raise HubError(f"the board at {url} was not reached: {error}") from error


def _trust(pairing: Pairing) -> ssl.SSLContext | bool:
    if not pairing.certificate:
        return False  # plain http: there is nothing to verify
    context = ssl.create_default_context(cadata=pairing.certificate)
    context.check_hostname = False  # the one certificate that is trusted is the board's, whatever its address
    return context


@dataclass(slots=True)
class HubClient:
    """One bench's connection; not to be shared between threads."""

    pairing: Pairing
    _http: httpx.Client | None = None

    def __enter__(self) -> "HubClient":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        if self._http is not None:
            self._http.close()
            self._http = None

    @property
    def http(self) -> httpx.Client:
        if self._http is None:
            self._http = httpx.Client(
                base_url=self.pairing.address,
                verify=_trust(self.pairing),
                timeout=CALL_S,
                headers=_headers(self.pairing.token),
                trust_env=False,  # no proxy stands between a bench and its board
            )
        return self._http

    def upload(self, upload: Upload) -> Taken:
        return self.post("/api/lines", upload, Taken)

    def reserve(self, request: Reserve) -> Reserved:
        return self.post("/api/reserve", request, Reserved, RESERVE_S)

    def post(self, path: str, message: msgspec.Struct, kind: type[M], within_s: float = CALL_S) -> M:
        """Raises `HubError`, and `NotDone` where the hub refuses."""
        try:
            reply = self.http.post(path, content=encode(message), timeout=within_s)
            return _read(reply, kind)
        except (httpx.HTTPError, BadMessage, ssl.SSLError) as error:
            raise HubError(f"the board at {self.pairing.address} was not reached: {error}") from error

    def mail(self) -> Iterator[Mail | None]:
        """What the hub sends, as it comes; None for a sign of life. Ends or raises as `post` does."""
        timeout = httpx.Timeout(CALL_S, read=SILENT_S)
        try:
            with self.http.stream("GET", "/api/mail", timeout=timeout) as reply:
                if reply.status_code != 200:
                    reply.read()
                    _read(reply, Taken)
                yield None
                for line in reply.iter_lines():
                    yield decode_mail(line[len(_DATA) :].encode()) if line.startswith(_DATA) else None
        except (httpx.HTTPError, BadMessage, ssl.SSLError) as error:
            raise HubError(f"the board at {self.pairing.address} went silent: {error}") from error


def _headers(token: str) -> dict[str, str]:
    """A bench that is only just pairing has no token yet."""
    identity = {"Authorization": f"Bearer {token}"} if token else {}
    return {"Content-Type": "application/json", **identity}


def _read(reply: httpx.Response, kind: type[M]) -> M:
    if len(reply.content) > MOST_REPLY_BYTES:
        raise BadMessage(f"a reply of {len(reply.content)} bytes is too long")
    if reply.status_code == 200:
        return decode(reply.content, kind)
    refusal = decode(reply.content, Refused)
    raise NotDone(reply.status_code, refusal.code, refusal.what)
