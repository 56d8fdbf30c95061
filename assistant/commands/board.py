"""`assistant board`: watch and help the benches from one place."""

import argparse
import asyncio
import io
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AsyncExitStack, closing, contextmanager
from pathlib import Path
from typing import Final
from urllib.parse import quote

from assistant.bench.terminal import kept_for_the_screen
from assistant.board.desk import Desk, ReportError, written
from assistant.commands import unusable
from assistant.commands.own_kit import OwnKitError, is_kept, kept
from assistant.config import home_folder
from assistant.hub.client import DEFAULT_PORT
from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.report import UNNAMED
from assistant.hub.store import Store, StoreError
from assistant.journal.disk import Lock
from assistant.journal.errors import RecordBusy, RecordError
from assistant.kit.kept import KEPT_FOLDER
from assistant.kit.load import KitError, demo_kit, load_kit
from assistant.kit.profile import Kit
from assistant.workflow.steps import BY_ID

PATIENCE_S: Final = 3.0
DATABASE: Final = "board.sqlite"
FOLDER: Final = "_board"
"""In the home folder, beside the benches' own; no bench can be called so."""


class BoardError(Exception):
    """What cannot be used; one sentence."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.description = "Watch and help the benches from one place; nothing of it leaves the local network."
    parser.add_argument(
        "--address",
        default=f"0.0.0.0:{DEFAULT_PORT}",
        metavar="HOST:PORT",
        help="where to listen (default: %(default)s, every address of this machine)",
    )
    parser.add_argument(
        "--kit", type=Path, metavar="DIR", help="folder of kit.toml and bank.csv (default: demo)"
    )
    parser.add_argument("--folder", type=Path, metavar="DIR", help="where the board keeps its things")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where records are kept")
    parser.add_argument("--clinic", default=UNNAMED, help="name of the clinic in the database and the report")
    parser.add_argument(
        "--database", metavar="URL", help="a database for many clinics (default: a file in the folder)"
    )
    parser.add_argument(
        "--tls", action="store_true", help="encrypt, with a certificate of the board's own that benches pin"
    )
    parser.add_argument("--plain", action="store_true", help="line by line, without the full screen")
    parser.add_argument("--no-sound", action="store_true", help="a sign instead of the chime")
    parser.add_argument(
        "--no-zeroconf", action="store_true", help="do not make the board known on the network"
    )
    parser.add_argument(
        "--report", type=Path, metavar="DIR", help="write the day's report of what is known, and end"
    )


def run(arguments: argparse.Namespace) -> int:
    """Exit status 0 when the supervisor ends it, 2 for unusable input."""
    try:
        host, port = address_of(arguments.address)
        kit = demo_kit(BY_ID) if arguments.kit is None else load_kit(arguments.kit, BY_ID)
        folder = _folder(arguments)
        with (
            _alone(folder),
            closing(Store(arguments.database or folder / DATABASE, arguments.clinic)) as store,
        ):
            _require_own(kit, store, _of_clinic(folder, arguments.clinic))
            hub = _folded(kit, store)
            if arguments.report is not None:
                print(*written(hub.view(), arguments.report), sep="\n")
                return 0
            if told := kept(_of_clinic(folder, arguments.clinic), arguments.kit):
                print(f"assistant board: {told}", file=sys.stderr)
            desk = Desk(hub, Door(kit, hub.mark, store, time.time))
            asyncio.run(_served(desk, host, port, folder, arguments))
    except (KitError, OwnKitError, RecordError, StoreError, ReportError, BoardError, OSError) as error:
        return unusable("board", error)
    return 0


def _of_clinic(folder: Path, clinic: str) -> Path:
    """Where the kit of this clinic's board is kept: clinics may share a folder."""
    return folder / f"clinic-{quote(clinic, safe='')}"


def _require_own(kit: Kit, store: Store, kept_in: Path) -> None:
    """Raises `BoardError` where the records that are stored were made with another kit: they mean nothing with it."""
    if store.benches() and not is_kept(kept_in, kit):
        raise BoardError(
            f"the benches' records here were made with the kit in {kept_in / KEPT_FOLDER}, and the one given is"
            " another; a new kit, or a case packed anew, begins in another --folder"
        )


def _folded(kit: Kit, store: Store) -> Hub:
    """The hub with every record it has; after a new version that may take minutes, which is said."""
    told = "assistant board: reading what the benches sent before; this may take minutes"
    patience = threading.Timer(PATIENCE_S, print, (told,), {"file": sys.stderr})
    patience.start()
    try:
        return Hub(kit, store, time.time)
    finally:
        patience.cancel()


def _folder(arguments: argparse.Namespace) -> Path:
    """Where the board keeps its things; made if missing. Raises `BoardError`."""
    try:
        folder: Path = arguments.folder or home_folder(arguments.home) / FOLDER
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BoardError(f"the folder {error.filename} cannot be made: {error.strerror}") from error
    return folder


def address_of(text: str) -> tuple[str, int]:
    """`HOST:PORT`, `HOST` or `:PORT`. Raises `BoardError`."""
    host, colon, port = text.rpartition(":")
    if not colon:
        host, port = text, str(DEFAULT_PORT)
    if not (port.isascii() and port.isdigit() and int(port) <= 65535):
        raise BoardError(f"address {text!r} cannot be used; allowed is HOST:PORT with a port up to 65535")
    return host or "0.0.0.0", int(port)


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """One board a folder: two would each know half. Raises `BoardError`."""
    try:
        lock = Lock(folder / DATABASE)
    except RecordBusy as error:
        raise BoardError(f"another board works in {folder}; end it first, or give --folder") from error
    try:
        yield
    finally:
        lock.release()


async def _served(desk: Desk, host: str, port: int, folder: Path, arguments: argparse.Namespace) -> None:
    from assistant.board.whereabouts import Whereabouts
    from assistant.hub.certificate import CertificateError, own_certificate
    from assistant.hub.finding import own_addresses
    from assistant.hub.server import Server
    from assistant.hub.serving import ServingError, serving

    async with AsyncExitStack() as stack:
        try:
            certificate = own_certificate(folder) if arguments.tls else None
            server = Server(desk.hub, desk.door)
            port = await stack.enter_async_context(serving(server, host, port, certificate))
        except (ServingError, CertificateError) as error:
            raise BoardError(str(error)) from error
        desk.fingerprint = "" if certificate is None else certificate.fingerprint
        everywhere = host in ("", "0.0.0.0", "::")
        scheme = "http" if certificate is None else "https"
        look = own_addresses if everywhere else lambda: [host]
        whereabouts = Whereabouts(desk, scheme, port, look, not arguments.no_zeroconf)
        stack.push_async_callback(whereabouts.close)
        await whereabouts.tell()
        telling = asyncio.create_task(whereabouts.keep_telling(), name="whereabouts")
        stack.callback(telling.cancel)
        await _shown(desk, folder / "reports", arguments)


async def _shown(desk: Desk, reports: Path, arguments: argparse.Namespace) -> None:
    if arguments.plain or not (sys.stdin.isatty() and sys.stdout.isatty()):
        from assistant.board.plain import Plain

        plain = Plain(desk, sys.stdout, reports)
        _on_signals(plain.end)
        if isinstance(sys.stdin, io.TextIOWrapper):
            sys.stdin.reconfigure(errors="replace")  # a noisy line must not make the board deaf
        await plain.run(sys.stdin)
        return
    from assistant.board.app import BoardApp
    from assistant.board.chime import rung
    from assistant.ui.glyphs import detect

    app = BoardApp(
        desk, detect(os.environ, sys.stdout.encoding), reports, None if arguments.no_sound else rung
    )
    _on_signals(app.exit)
    with kept_for_the_screen():
        await app.run_async()


def _on_signals(end: Callable[[], None]) -> None:
    """Ctrl+C and a polite request to end do what quit does, so that the benches hear the board close."""
    if sys.platform == "win32":
        return  # no signal handlers in this system's event loop; Ctrl+C raises there
    for wanted in (signal.SIGINT, signal.SIGTERM):
        asyncio.get_running_loop().add_signal_handler(wanted, end)
