"""How the hub carries many benches and many stored events.

    python tests/benchmarks/hub.py load [--benches 8 50 200] [--seconds 60]
    python tests/benchmarks/hub.py stored [--lines 10000 100000 1000000] [--postgres]

`load`: the board's program in a process of its own; simulated benches with real sockets, an entry every
13 seconds on average (a pair of 45 entries in ten minutes), a sign of life every two seconds and open mail; a
page that shows the board. Timed is from the moment an entry would be on the bench's disk, its sender's wait
for news included, to its line being shown on the page.

`stored`: a database filled with whole records of 200 benches, then a new process that opens it.
"""

import argparse
import asyncio
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path

import httpx
import msgspec
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import postgres_server
from records import Recorded, lines_of

from assistant.hub.hub import Hub
from assistant.hub.protocol import HEARTBEAT_S, Taken, Upload, decode, elsewhere_mark, encode, kit_mark
from assistant.hub.store import Store, StoredLine
from assistant.hub.throttle import token_hash
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit
from assistant.workflow.events import Event, StockCounted
from assistant.workflow.steps import BY_ID

KIT = demo_kit(BY_ID)
MARK = kit_mark(KIT)
ENTRY_EVERY_S = 600.0 / 45.0
LOOK_S = 0.03
"""As in `bench.uplink`."""
SETTLE_S = 10.0
"""In this time every bench sends how its day began."""
CODE = KIT.supervisor_codes[0]
POWERS = [("-2.00/-1.00x30", "-1.50/-0.50x165"), ("+1.00", "+1.25/-0.50x90"), ("-4.00", "-3.50/-1.00x10")]


def with_frames(pairs: int) -> Kit:
    """The kit with frames of every size for so many pairs."""
    return replace(KIT, frames=tuple(replace(size, colours={"blue": pairs}) for size in KIT.frames))


def events(pairs: int, which: int = 0) -> list[Event]:
    """A day of `pairs` pairs, the pockets filled up after each."""
    one = Recorded("bench", with_frames(pairs))
    one.until("order")
    right, left = POWERS[which % len(POWERS)]
    for case in range(pairs):
        one.order(str(100 + case), right, left)
        one.until("fetch")
        pockets = [one.planned(eye) for eye in one.bench.the_pair.eyes]
        one.until("order")
        for pocket in pockets:
            one.hands.send(StockCounted(at=one.hands.tick(), pocket=pocket, count=3))
    return one.hands.events


@dataclass
class Watched:
    """When each line was written, and how long until it was taken and shown, in seconds."""

    written: dict[tuple[str, int], float] = field(default_factory=dict)
    taken: list[float] = field(default_factory=list)
    shown: list[float] = field(default_factory=list)
    seen: dict[str, int] = field(default_factory=dict)
    view_bytes: int = 0


class _Bench(msgspec.Struct):
    name: str
    lines: int


class _Board(msgspec.Struct):
    benches: list[_Bench]


class Connection:
    """HTTP as spare as can be, so that it is the board that is measured and not the benches."""

    def __init__(self, port: int, name: str) -> None:
        self._port, self._who = port, f"Host: board\r\nAuthorization: Bearer {name}-token\r\n"
        self._streams: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def post(self, path: str, body: bytes) -> bytes:
        if self._streams is None:
            self._streams = await asyncio.open_connection("127.0.0.1", self._port)
        reader, writer = self._streams
        about = f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
        writer.write(f"POST {path} HTTP/1.1\r\n{self._who}{about}".encode() + body)
        head = (await reader.readuntil(b"\r\n\r\n")).decode().lower()
        assert head.startswith("http/1.1 200"), head
        return await reader.readexactly(int(head.partition("content-length: ")[2].partition("\r\n")[0]))

    async def listen(self, path: str) -> None:
        reader, writer = await asyncio.open_connection("127.0.0.1", self._port)
        writer.write(f"GET {path} HTTP/1.1\r\n{self._who}\r\n".encode())
        while await reader.read(65_536):
            pass


class SimulatedBench:
    def __init__(self, port: int, name: str, lines: list[str], watched: Watched, seconds: float) -> None:
        self._name, self._lines, self._watched, self._seconds = name, lines, watched, seconds
        self._connection = Connection(port, name)
        self._random = random.Random(name)
        self._knows = ""
        self._have = 25  # the day is open and a first order planned

    async def work(self, until: float) -> None:
        now = asyncio.get_running_loop().time
        await asyncio.sleep(self._random.uniform(0.0, SETTLE_S * 0.7))
        await self._send(1)
        mail = asyncio.create_task(self._connection.listen("/api/mail"))
        await asyncio.sleep(max(0.0, until - self._seconds - now()))
        entry_at = now() + self._random.expovariate(1.0 / ENTRY_EVERY_S)
        while now() < until:
            wait = min(entry_at - now(), HEARTBEAT_S)
            if wait > 0:
                await asyncio.sleep(wait)
            if now() >= entry_at and self._have < len(self._lines):
                await self._enter()
                entry_at = now() + self._random.expovariate(1.0 / ENTRY_EVERY_S)
            else:
                await self._send(self._have + 1)
        mail.cancel()
        await asyncio.gather(mail, return_exceptions=True)

    async def _enter(self) -> None:
        now = asyncio.get_running_loop().time
        self._have += 1
        self._watched.written[self._name, self._have] = began = now()
        await asyncio.sleep(self._random.uniform(0.0, LOOK_S))
        await self._send(self._have)
        self._watched.taken.append(now() - began)

    async def _send(self, first: int) -> None:
        part = self._lines[first - 1 : self._have]
        upload = Upload(
            first=first, lines=part, have=self._have, now=time.time(), kit=MARK, knows=self._knows
        )
        reply = await self._connection.post("/api/lines", encode(upload))
        taken = decode(reply, Taken)
        assert taken.next == self._have + 1
        if taken.elsewhere is not None:
            self._knows = elsewhere_mark(taken.elsewhere)


async def watch(port: int, watched: Watched) -> None:
    """The board's page, as far as the number of each bench's lines."""
    now, read = asyncio.get_running_loop().time, msgspec.json.Decoder(_Board)
    async with httpx.AsyncClient(base_url=f"http://127.0.0.1:{port}", timeout=None) as page:
        await page.post("/api/board/login", json={"code": CODE})
        async with page.stream("GET", "/api/board/stream") as reply:
            async for line in reply.aiter_lines():
                if not line.startswith("data:"):
                    continue
                came, watched.view_bytes = now(), len(line)
                for bench in read.decode(line[5:].encode()).benches:
                    for seq in range(watched.seen.get(bench.name, 0) + 1, bench.lines + 1):
                        written = watched.written.get((bench.name, seq))
                        if written is not None:
                            watched.shown.append(came - written)
                    watched.seen[bench.name] = bench.lines


async def load(port: int, names: list[str], seconds: float, process: int) -> None:
    days = [events(3, which) for which in range(len(POWERS))]
    watched = Watched()
    benches = [
        SimulatedBench(port, name, lines_of(name, days[at % len(days)]), watched, seconds)
        for at, name in enumerate(names)
    ]
    watching = asyncio.create_task(watch(port, watched))
    began = asyncio.get_running_loop().time() + SETTLE_S
    work = [asyncio.create_task(bench.work(began + seconds)) for bench in benches]
    await asyncio.sleep(SETTLE_S)
    cpu_before = cpu_seconds(process)
    await asyncio.gather(*work)
    cpu = (cpu_seconds(process) - cpu_before) / seconds
    await asyncio.sleep(0.5)
    watching.cancel()
    lost = len(watched.written) - len(watched.shown)
    print(
        f"{len(names):4d} benches, {len(watched.written)} entries in {seconds:.0f} s ({lost} not shown):"
        f" to the page {spread(watched.shown)}; taken {spread(watched.taken)};"
        f" memory {memory_mib(process):.0f} MiB; CPU {100 * cpu:.1f} % of one core;"
        f" view {watched.view_bytes / 1024:.0f} KiB",
        flush=True,
    )


def spread(seconds: list[float]) -> str:
    middle, high = np.percentile(seconds, [50, 99])
    return f"median {1000 * middle:.0f} ms, 99th {1000 * high:.0f} ms, most {1000 * max(seconds):.0f} ms"


def cpu_seconds(process: int) -> float:
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def memory_mib(process: int) -> float:
    status = Path(f"/proc/{process}/status").read_text()
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS")) / 1024


def run_load(counts: list[int], seconds: float) -> None:
    for at, count in enumerate(counts):
        with tempfile.TemporaryDirectory() as folder:
            names = [f"bench-{number}" for number in range(count)]
            store = Store(Path(folder) / "board.sqlite")
            for name in names:
                store.add_token(token_hash(f"{name}-token"), name, time.time())
            store.close()
            port = 18750 + at
            options = ["--plain", "--no-zeroconf", "--no-sound", "--folder", folder]
            program = [sys.executable, "-m", "assistant", "board", *options, "--address", f"127.0.0.1:{port}"]
            board = subprocess.Popen(program, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)
            try:
                time.sleep(3.0)
                asyncio.run(load(port, names, seconds, board.pid))
            finally:
                board.terminate()
                board.wait(10)


# stored


def records(total: int, benches: int = 200) -> Iterator[list[StoredLine]]:
    each = total // benches
    day = events(1 + each // 40)[:each]
    for number in range(benches):
        name = f"bench-{number}"
        lines = lines_of(name, day)
        yield [StoredLine(name, seq, 0.0, f"{line}\n".encode()) for seq, line in enumerate(lines, 1)]


def run_stored(totals: list[int], address: str | None) -> None:
    for total in totals:
        with tempfile.TemporaryDirectory() as folder:
            database: Path | str = address or Path(folder) / "board.sqlite"
            store = Store(database, f"clinic-{total}")
            began = time.monotonic()
            for lines in records(total):
                store.add_lines(lines)
            store.close()
            wrote = time.monotonic() - began
            print(f"{total} lines made and stored in {wrote:.0f} s;", end=" ", flush=True)
            subprocess.run([sys.executable, __file__, "opened", str(total), str(database)], check=True)


def opened(total: int, database: str) -> None:
    """In a process of its own: start, memory, and what one more line costs."""
    store = Store(database if "://" in database else Path(database), f"clinic-{total}")
    pairs = 2 + total // 200 // 40
    kit = with_frames(pairs)
    began = time.monotonic()
    hub = Hub(kit, store, time.time)
    start = time.monotonic() - began
    each = total // 200
    day = events(pairs)[: each + 1]
    took, looked = [], []
    for number in range(200):
        name = f"bench-{number}"
        line = lines_of(name, day)[-1]
        upload = Upload(first=each + 1, lines=[line], have=each + 1, now=time.time(), kit=kit_mark(kit))
        began = time.monotonic()
        hub.upload(name, upload)
        took.append(time.monotonic() - began)
        if number % 10 == 0:
            began = time.monotonic()
            encode(hub.view())
            looked.append(time.monotonic() - began)
    began = time.monotonic()
    hub.keep()
    keeping = time.monotonic() - began
    began = time.monotonic()
    Hub(kit, store, time.time)
    again = time.monotonic() - began
    size = f"{Path(database).stat().st_size / 2**20:.0f} MiB on disk, " if "://" not in database else ""
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{size}start {start:.1f} s ({1e6 * start / total:.0f} us a line), memory {used:.0f} MiB;"
        f" fold kept in {keeping:.2f} s, start from it {again:.2f} s;"
        f" one more line {spread(took)}; a view {spread(looked)}",
        flush=True,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parts = parser.add_subparsers(dest="part", required=True)
    one = parts.add_parser("load")
    one.add_argument("--benches", type=int, nargs="+", default=[8, 50, 200])
    one.add_argument("--seconds", type=float, default=60.0)
    two = parts.add_parser("stored")
    two.add_argument("--lines", type=int, nargs="+", default=[10_000, 100_000, 1_000_000])
    two.add_argument("--postgres", action="store_true", help="on a PostgreSQL server of its own")
    three = parts.add_parser("opened")
    three.add_argument("lines", type=int)
    three.add_argument("database")
    arguments = parser.parse_args()
    if arguments.part == "load":
        run_load(arguments.benches, arguments.seconds)
    elif arguments.part == "stored":
        with ExitStack() as stack:
            server = stack.enter_context(postgres_server.server()) if arguments.postgres else None
            run_stored(arguments.lines, None if server is None else postgres_server.new_database(server))
    else:
        opened(arguments.lines, arguments.database)


if __name__ == "__main__":
    main()
