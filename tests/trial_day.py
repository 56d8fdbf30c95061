"""Board, benches and helpers of one day together, and what must be true when it is over."""

import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from boards import BoardProcess, Supervisor
from clinic_day import CLUMSY, ENTRY_S, Answering, Incident, Place, Shelf, Worker
from lan import Air, Lan
from piped_bench import Mirror, PipedBench

from assistant.bench.session import RECORD
from assistant.commands.board import DATABASE
from assistant.hub.hub import Hub
from assistant.hub.store import Store
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.practice.helper import VirtualHelper
from assistant.workflow.state import Bench

ALL_HEARD_S = 60.0


@dataclass
class Day:
    """Everything that takes part, and what happens to whom."""

    board: BoardProcess
    kit: Kit
    shelf: Shelf
    workers: list[Worker] = field(default_factory=list)
    pause_s: float = ENTRY_S

    def bench(
        self,
        home: Path,
        network: Lan,
        name: str,
        pairs: int,
        clock_off_s: float,
        what: Mapping[Place, Incident],
    ) -> None:
        """A bench that pairs with the board by its code."""
        lane, code = network.lane(self.board.port), self.board.code
        address = f"{self.board.scheme}://{lane.address}"
        bench = PipedBench(home, name, self.kit, ("--board", address), clock_off_s)
        bench.start("--pair", code)
        self.board.code_after(code)
        helper = VirtualHelper(self.kit, len(self.workers), CLUMSY)
        self.workers.append(Worker(bench, lane, helper, self.shelf, pairs, what, self.pause_s))

    def work(self) -> None:
        """Until every helper has closed all pairs. Raises what stopped one."""
        failed: list[BaseException] = []

        def worked(worker: Worker) -> None:
            try:
                worker.work()
            except BaseException as error:  # noqa: BLE001 - raised again in the test's thread
                failed.append(error)

        threads = [threading.Thread(target=worked, args=(worker,)) for worker in self.workers]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        if failed:
            raise failed[0]

    def all_heard(self, supervisor: Supervisor) -> None:
        """The network is whole again: wait until the board has every line."""
        for worker in self.workers:
            worker.lane.turn(Air.CLEAR)
        until, heard, wanted = time.monotonic() + ALL_HEARD_S, {}, {}
        while time.monotonic() < until:
            benches = supervisor.view()["benches"]
            wanted = {w.bench.folder.name: w.lines() for w in self.workers}
            assert isinstance(benches, list)
            heard = {bench["name"]: bench["lines"] for bench in benches}
            if heard == wanted and all(bench["connected"] for bench in benches):
                return
            time.sleep(0.1)
        raise AssertionError(f"the board has {heard} of {wanted}")

    def counted(self, supervisor: Supervisor) -> int:
        """At the end of the day the supervisor counts every pocket that the board wants counted; how many."""
        pockets = to_count(supervisor)
        for pocket in pockets:
            supervisor.count(pocket, self.shelf.count(pocket))
        until = time.monotonic() + ALL_HEARD_S
        while left := to_count(supervisor):
            assert time.monotonic() < until, f"still to count: {left}"
            time.sleep(0.1)
        self.all_heard(supervisor)
        return len(pockets)


def to_count(supervisor: Supervisor) -> list[int]:
    today = supervisor.view()["today"]
    assert isinstance(today, dict)
    return [difference["pocket"] for difference in today["to_count"]]


def tell(day: Day, answering: Answering, took_s: float, counted: int) -> None:
    workers = day.workers
    print(
        f"\n{len(workers)} benches, {sum(len(w.state.closed) for w in workers)} pairs closed,"
        f" {sum(c.outcome == 'handed_over' for w in workers for c in w.state.closed)} handed over,"
        f" {sum(w.keyed for w in workers)} entries, {sum(len(w.bench.mirror.events) for w in workers)} lines,"
        f" {took_s:.0f} s;"
        f"\n{sum(w.planned for w in workers)} plans, {sum(w.planned_alone for w in workers)} alone;"
        f" {len(day.shelf.found_empty)} pockets found empty, {counted} to count at the end;"
        f" {sum(w.state.stock.broken for w in workers)} lenses broken,"
        f" {sum(len(w.state.stock.blanks) for w in workers)} set aside;"
        f"\n{answering.given} questions answered at the board,"
        f" {sum(w.answered_from_board for w in workers)} heard so;"
        f" slowest entry {max(max(w.entry_s) for w in workers):.2f} s"
    )
    for w in workers:
        print(f"{w.bench.name}: {w.planned} plans, {w.planned_alone} alone, slowest {max(w.entry_s):.2f} s")


def folded(record: Path, kit: Kit) -> Bench:
    mirror = Mirror(record, Bench(kit, Stock.packed(kit.bank)))
    return mirror.follow()


def rebuilt(tmp_path: Path, kit: Kit) -> tuple[Hub, Store]:
    """The board folded anew from nothing but the lines in its database."""
    store = Store(tmp_path / "board" / DATABASE)
    if store.fold_path is not None:
        store.fold_path.unlink(missing_ok=True)
    return Hub(kit, store, time.time), store


def check_folds(tmp_path: Path, day: Day) -> None:
    """The board is what the records are."""
    hub, store = rebuilt(tmp_path, day.kit)
    for worker in day.workers:
        folder = worker.bench.folder
        stored = b"".join(line.data for line in store.lines(folder.name))
        assert stored == (folder / RECORD).read_bytes()
        known, own = hub.stories[folder.name], folded(folder / RECORD, hub.kit)
        assert known.bench == own
        assert known.seq == len(worker.bench.mirror.events)
    assert set(hub.stories) == {worker.bench.folder.name for worker in day.workers}
    store.close()


def check_pockets(tmp_path: Path, day: Day) -> None:
    """The ledger says what is in every pocket; nobody was sent to an empty one but by somebody alone."""
    hub, store = rebuilt(tmp_path, day.kit)
    ledger = hub.bank.ledger
    rows = np.flatnonzero(ledger.there != day.shelf.there)
    wrong = [(int(day.kit.bank.pocket[r]), int(ledger.there[r]), int(day.shelf.there[r])) for r in rows]
    assert not wrong, f"pocket, by the ledger, in truth: {wrong}"
    assert ledger.differences == ()
    alone = set().union(*(worker.promised_alone for worker in day.workers))
    assert {pocket for _, pocket in day.shelf.found_empty} <= alone
    store.close()
