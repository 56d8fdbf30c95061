"""kill -9 of a real bench process at every step of a pair: it comes back on the same step."""

import signal
import subprocess
import sys
from pathlib import Path

from hands import Hands

from assistant.kit.load import demo_kit, demo_orders
from assistant.kit.stock import Stock
from assistant.workflow.events import Answered, DayOpened, OrderHandedOver
from assistant.workflow.state import Bench


def answers() -> list[str]:
    """What a careful helper keys for the first demonstration order, start of day included."""
    kit = demo_kit()
    hands = Hands(Bench(kit, Stock.packed(kit.bank)))
    hands.send(DayOpened(at=hands.tick(), date="2026-11-02"))
    for order in demo_orders():
        hands.send(OrderHandedOver(at=hands.tick(), order=order))
    hands.until("hand_over")
    hands.step()
    return [event.text for event in hands.events if isinstance(event, Answered)]


class PlainBench:
    """One real process in plain mode."""

    def __init__(self, home: Path) -> None:
        command = [sys.executable, "-m", "assistant", "bench", "--demo", "--plain", "--home", str(home)]
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )

    def prompt(self) -> str:
        """Read up to the next prompt line, which ends in ` >`."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if line.endswith(" >\n"):
                return line.strip()
        assert self.process.stderr is not None
        raise AssertionError(self.process.stderr.read())

    def key(self, text: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(text + "\n")
        self.process.stdin.flush()

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            assert stream is not None
            stream.close()


def test_killed_at_every_entry_it_comes_back_on_the_same_step(tmp_path: Path) -> None:
    keyed = answers()
    expected = ""
    for count, text in enumerate(keyed):
        bench = PlainBench(tmp_path)
        prompt = bench.prompt()
        assert count == 0 or prompt == expected, f"after {count} entries"
        bench.key(text)
        expected = bench.prompt()
        bench.kill()
    assert expected == "order choice >"
    assert len(keyed) > 35
