"""Pairing a bench with its board, and the uplink while the bench works. Network libraries load only here.

A board that cannot be had never stops a bench: the reason is one sentence, and the bench works on alone.
"""

from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final, TextIO

from assistant.bench.linked import Arrivals, LinkedSession
from assistant.bench.session import RECORD
from assistant.kit.profile import Kit

if TYPE_CHECKING:
    from assistant.hub.client import Pairing

FIND: Final = "find"
ASK: Final = ""
"""In place of a pairing code: it will be keyed."""
KEPT: Final = "board.json"
_CODE_PROMPT: Final = "board code >"


class BoardError(Exception):
    """A board that cannot be paired with; one sentence."""


@dataclass(frozen=True, slots=True)
class Board:
    """The board a bench works with, or the sentence why it has none; neither when none was asked for."""

    folder: Path
    pairing: "Pairing | None" = None
    trouble: str = ""
    found: bool = False
    """By looking on the network, so its address may change."""
    fingerprint: str = ""
    """Of the certificate that was trusted just now."""

    @property
    def told(self) -> str:
        """What whoever starts the bench must know of its board; empty when all is well."""
        if not self.fingerprint:
            return self.trouble
        return f"the board's certificate is {self.fingerprint}; if the board shows another, let this bench go there"

    @property
    def wanted(self) -> bool:
        return self.pairing is not None or bool(self.trouble)


def board_of(folder: Path, name: str, kit: Kit, address: str | None, codes: Iterable[str] | None) -> Board:
    """The board as kept in `folder`, or newly paired with the first of `codes` that is right. Never raises."""
    if address is None and codes is None and not (folder / KEPT).exists():
        return Board(folder)
    from assistant.hub.certificate import fingerprint_of
    from assistant.hub.client import HubError, load_pairing, moved, save_pairing
    from assistant.hub.notdone import NotDone

    kept, found, trouble, fingerprint = None, address == FIND, "", ""
    try:
        kept = load_pairing(folder)
        if codes is not None:
            kept = _paired(_address(address, kept), name, kit, codes)
            save_pairing(folder, kept)
            fingerprint = fingerprint_of(kept.certificate) if kept.certificate else ""
        elif kept is not None and address is not None and not found:
            kept = moved(kept, address)
            save_pairing(folder, kept)
        elif kept is None:
            trouble = "this bench is not paired; start it with --pair and the six digits that the board shows"
    except (HubError, NotDone, BoardError, OSError) as error:
        trouble = str(error)
    end = "the bench works alone" if kept is None else f"the bench keeps to the board at {kept.address}"
    return Board(folder, kept, f"{trouble}; {end}" if trouble else "", found, fingerprint)


def _paired(address: str, name: str, kit: Kit, codes: Iterable[str]) -> "Pairing":
    from assistant.hub.client import pair
    from assistant.hub.notdone import NotDone
    from assistant.hub.protocol import Pair, kit_mark

    wrong: NotDone | BoardError = BoardError("no code was keyed")
    for code in codes:
        if not (len(code) == 6 and code.isascii() and code.isdigit()):
            wrong = BoardError(f"pairing code {code!r} cannot be used; allowed are six digits")
            continue
        try:
            return pair(address, Pair(bench=name, code=code, kit=kit_mark(kit)))
        except NotDone as refusal:
            if refusal.code != "code":
                raise
            wrong = refusal
    raise wrong


def _address(given: str | None, kept: "Pairing | None") -> str:
    if given == FIND:
        address = _look()
        if address is None:
            raise BoardError("no board was found on this network; give its address with --board host:port")
        return address
    if given is not None:
        return given
    if kept is None:
        raise BoardError("--pair needs --board ADDRESS, or --board find, the first time")
    return kept.address


def _look(besides: Collection[str] = ()) -> str | None:
    """A board that takes connections on this network, `besides` some, if there is one and a network."""
    from assistant.hub.finding import find

    with suppress(OSError):
        return find(besides=besides)
    return None


def keyed_codes(source: TextIO, sink: TextIO) -> Iterator[str]:
    """Codes as they are keyed, asked for one by one until an empty line or the input's end."""
    print(_CODE_PROMPT, file=sink, flush=True)
    while code := source.readline().strip():
        yield code
        print("this is not the code on the board", _CODE_PROMPT, sep="\n", file=sink, flush=True)


@contextmanager
def linked(session: LinkedSession, board: Board, arrivals: Arrivals) -> Iterator[None]:
    """The uplink, for as long as the bench works; nothing at all where no board was asked for."""
    if board.pairing is None:
        session.unpaired = board.wanted
        yield
        return
    from assistant.bench.uplink import Uplink
    from assistant.hub.protocol import kit_mark

    uplink = Uplink(
        board.folder / RECORD,
        board.pairing,
        kit_mark(session.bench.kit),
        session.now,
        arrivals.deliver,
        _look if board.found else None,
    )
    session.uplink = uplink
    uplink.wake(asking=session.question_line > 0)
    uplink.start()
    try:
        yield
    finally:
        uplink.close(session.lines)
