"""Real bench programs whose board is not there, or not yet paired with."""

import subprocess
import sys
from pathlib import Path

import pytest
from boards import BoardProcess, free_port
from piped_bench import ALONE, PipedBench

from assistant.kit.load import demo_kit
from assistant.workflow.steps import BY_ID


def begun(home: Path, *options: str) -> PipedBench:
    bench = PipedBench(home, "heron", demo_kit(BY_ID), options)
    bench.start()
    return bench


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--board", "DEAD", "--pair", "123456"), "was not reached"),
        (("--board", "boat:0", "--pair", "123456"), "board address 'boat:0' cannot be used"),
        (("--board", "DEAD"), "this bench is not paired"),
        (("--pair", "12"), "--pair needs --board ADDRESS"),
    ],
)
def test_one_sentence_and_the_bench_goes_on_with_the_sign(
    tmp_path: Path, options: tuple[str, ...], says: str
) -> None:
    dead = f"127.0.0.1:{free_port()}"
    with begun(tmp_path, *(dead if option == "DEAD" else option for option in options)) as bench:
        assert bench.prompt() == "helper picture >"
        assert bench.alone
        told = [line for line in bench.said if says in line]
        assert told
        assert all(line.endswith("; the bench works alone") for line in told)
        bench.key("1")
        assert bench.prompt() == "language language >"
        assert bench.said[-2] == ALONE
        assert bench.leave() == 0


def test_the_code_is_keyed_at_the_bench(tmp_path: Path) -> None:
    with (
        BoardProcess(tmp_path / "board") as board,
        begun(tmp_path / "home", "--board", board.address, "--pair") as bench,
    ):
        assert bench.prompt() == "board code >"
        bench.key(f"{(int(board.code) + 1) % 10**6:06d}")
        assert bench.prompt() == "board code >"
        assert bench.said[-2] == "this is not the code on the board"
        bench.key(board.code)
        assert bench.prompt() == "helper picture >"
        bench.key("1")
        assert bench.prompt() == "language language >"
        assert bench.leave() == 0
        assert "; the bench works alone" not in "".join(bench.said)


def test_the_options_are_offered() -> None:
    command = [sys.executable, "-m", "assistant", "bench", "--help"]
    offered = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert "--board ADDRESS" in offered
    assert "--pair [CODE]" in offered
