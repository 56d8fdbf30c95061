"""Pairing a bench with its board, and the uplink while the bench works. Network libraries load only here."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.bench.linked import Arrivals, LinkedSession
from assistant.kit.profile import Kit

if TYPE_CHECKING:
    from assistant.hub.client import Pairing

FIND = "find"


class BoardError(Exception):
    """A board that cannot be paired with; one sentence."""


def paired(folder: Path, name: str, kit: Kit, board: str | None, code: str | None) -> "Pairing | None":
    """The pairing this bench works with: a new one with `code`, else the one kept, else none.

    Raises `BoardError`. A board that is merely away is no error: the bench works on alone.
    """
    if board is None and code is None and not (folder / "board.json").exists():
        return None
    from assistant.hub.client import HubError, load_pairing, pair, save_pairing, url_of
    from assistant.hub.notdone import NotDone
    from assistant.hub.protocol import Pair, kit_mark

    try:
        known = load_pairing(folder)
        if code is not None:
            address = _found(board) or (known.address if known is not None else None)
            if address is None:
                raise BoardError("--pair needs --board ADDRESS, or --board find, the first time")
            if not (len(code) == 6 and code.isascii() and code.isdigit()):
                raise BoardError(f"pairing code {code!r} cannot be used; allowed are six digits")
            known = pair(address, Pair(bench=name, code=code, kit=kit_mark(kit)))
            save_pairing(folder, known)
        elif known is None:
            raise BoardError(
                "this bench is not paired yet; add --pair and the six digits that the board shows"
            )
        elif board is not None and board != FIND and url_of(board) != known.address:
            known = type(known)(address=url_of(board), token=known.token, certificate=known.certificate)
            save_pairing(folder, known)
        return known
    except (HubError, NotDone) as error:
        raise BoardError(str(error)) from error


def _found(board: str | None) -> str | None:
    if board != FIND:
        return board
    from assistant.hub.finding import find

    address = find()
    if address is None:
        raise BoardError("no board was found on this network; give its address with --board host:port")
    return address


@contextmanager
def linked(
    session: LinkedSession, record: Path, pairing: "Pairing | None", arrivals: Arrivals
) -> Iterator[None]:
    """The uplink, for as long as the bench works; nothing at all without a pairing."""
    if pairing is None:
        yield
        return
    from assistant.bench.uplink import Uplink
    from assistant.hub.protocol import kit_mark

    uplink = Uplink(record, pairing, kit_mark(session.bench.kit), session.now, arrivals.deliver)
    session.uplink = uplink
    uplink.start()
    try:
        yield
    finally:
        uplink.close()
