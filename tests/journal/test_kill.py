"""A real process appending, killed with no chance to tidy up: no acknowledged event is ever lost."""

import signal
import subprocess
import sys
from pathlib import Path
from typing import IO

import msgspec
import pytest

from assistant.journal.codec import Codec
from assistant.journal.file import Journal
from assistant.journal.recovery import Recovery


class Counted(msgspec.Struct, frozen=True, tag_field="kind", tag="counted"):
    at: float
    text: str


def counted(number: int) -> Counted:
    """What appending_child.py writes as line `number`."""
    return Counted(at=float(number), text="counted " * 20 + str(number))


CODEC: Codec[Counted] = Codec(Counted)

CHILD = Path(__file__).with_name("appending_child.py")
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL on Windows")


def start(path: Path, stage: str, count: int) -> "subprocess.Popen[str]":
    command = [sys.executable, str(CHILD), str(path), stage, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def acknowledged(output: IO[str], count: int | None = None) -> int:
    """Read `count` acknowledgements (or all); the last number seen, 0 for none."""
    last = 0
    while count is None or count > 0:
        said = output.readline()
        if not said.endswith("\n"):
            break
        last = int(said)
        count = None if count is None else count - 1
    return last


def killed_at(path: Path, stage: str, count: int) -> int:
    """Let a child be killed at this stage of its line `count` (0: of opening); the last line it acknowledged."""
    process = start(path, stage, count)
    assert process.stdout is not None
    last = acknowledged(process.stdout)
    assert process.wait() == -signal.SIGKILL
    process.stdout.close()
    return last


def recovered(path: Path) -> tuple[int, Recovery]:
    """How many lines came back; each must be the one written there."""
    journal, lines, recovery = Journal.open(path, CODEC, "heron")
    journal.close()
    for number, line in enumerate(lines, 1):
        assert line.event == counted(number)
    return len(lines), recovery


def test_killed_from_outside_twenty_five_times(tmp_path: Path) -> None:
    path = tmp_path / "heron.jsonl"
    before = 0
    for round_number in range(25):
        process = start(path, "none", 0)
        assert process.stdout is not None
        acknowledged(process.stdout, 1 + round_number * 3)
        process.kill()
        last = acknowledged(process.stdout)
        assert process.wait() == -signal.SIGKILL
        process.stdout.close()
        count, recovery = recovered(path)
        assert count >= max(last, before + 1 + round_number * 3)
        assert recovery.missing_lines == 0
        before = count


@pytest.mark.parametrize(
    ("stage", "kept", "torn"),
    [
        ("jsonl before write", 4, False),
        ("jsonl half written", 4, True),
        ("jsonl written", 5, False),
        ("jsonl synced", 5, False),
        ("head before write", 5, False),
        ("head written", 5, False),
    ],
)
def test_killed_at_each_point_of_an_append(tmp_path: Path, stage: str, kept: int, torn: bool) -> None:
    path = tmp_path / "heron.jsonl"
    assert killed_at(path, stage, 5) == 4
    count, recovery = recovered(path)
    assert count == kept
    assert bool(recovery.torn_bytes) == torn
    assert recovery.missing_lines == 0
    assert recovered(path) == (kept, Recovery())


@pytest.mark.parametrize("stage", ["jsonl synced", "head before write", "head half written", "head synced"])
def test_killed_while_beginning(tmp_path: Path, stage: str) -> None:
    path = tmp_path / "heron.jsonl"
    assert killed_at(path, stage, 0) == 0
    assert path.exists()
    count, recovery = recovered(path)
    assert (count, recovery.missing_lines, recovery.torn_bytes) == (0, 0, 0)
    assert recovered(path) == (0, Recovery())


@pytest.mark.parametrize(
    "stage", ["torn-1 half written", "torn-1 synced", "jsonl synced", "head written", "head synced"]
)
def test_killed_while_recovering(tmp_path: Path, stage: str) -> None:
    """The power goes again while a torn tail is put right: the torn bytes are still somewhere."""
    path = tmp_path / "heron.jsonl"
    journal = Journal.open(path, CODEC, "heron").journal
    for number in range(1, 4):
        journal.append(counted(number))
    journal.close()
    tail = b'{"schema":1,"seq":4,"at":4.0,"ben'
    path.write_bytes(path.read_bytes() + tail)
    assert killed_at(path, stage, 0) == 0
    count, recovery = recovered(path)
    assert (count, recovery.missing_lines) == (3, 0)
    assert any(kept.read_bytes() == tail for kept in tmp_path.glob("heron.jsonl.torn-*"))
    assert recovered(path) == (3, Recovery())
