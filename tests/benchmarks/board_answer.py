"""Seconds from a call at a bench to the board, and from the answer at the board to the bench.

    python tests/benchmarks/board_answer.py [--benches 3] [--questions 40]

Real processes on this machine, over the loopback: one board in plain mode, benches in plain mode. The board
is watched as its page watches it (server-sent events), the answer is given as the page gives it, and the
bench has heard it when it prints its next prompt, which it does only with the answer on its disk.
"""

import argparse
import json
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx

sys.path.insert(0, str(Path(__file__).parent.parent))

from boards import BoardProcess
from piped_bench import PipedBench

from assistant.kit.load import demo_kit


class Page:
    """The board as its page hears it."""

    def __init__(self, board: BoardProcess) -> None:
        self._http = httpx.Client(base_url=board.address, timeout=30.0, trust_env=False)
        code = demo_kit().supervisor_codes[0]
        self._http.post("/api/board/login", json={"code": code}).raise_for_status()

    def questions(self) -> Iterator[list[dict[str, Any]]]:
        with self._http.stream("GET", "/api/board/stream") as stream:
            for line in stream.iter_lines():
                if line.startswith("data:"):
                    yield json.loads(line[5:])["questions"]

    def yes(self, question: dict[str, Any]) -> None:
        given = {"bench": question["bench"], "question": question["line"], "yes": True, "reason": ""}
        self._http.post("/api/board/answer", json=given).raise_for_status()


def paired(folder: Path, board: BoardProcess, name: str) -> PipedBench:
    bench = PipedBench(folder / "home", name, demo_kit(), ("--no-sound", "--board", board.address))
    code = board.code
    bench.start("--pair", code)
    bench.prompt()
    board.code_after(code)
    return bench


def measured(folder: Path, benches: int, questions: int) -> tuple[list[float], list[float]]:
    """Seconds to the board, seconds back to the bench; one of each for every question."""
    board = BoardProcess(folder / "board")
    there, back = [], []
    working = [paired(folder, board, f"bench-{number}") for number in range(benches)]
    page = Page(board)
    views = page.questions()
    next(views)
    for number in range(questions):
        bench = working[number % benches]
        began = time.monotonic()
        bench.key("/")
        asked = next(
            q for seen in views for q in seen if q["bench"].startswith(bench.name) and not q["answered"]
        )
        there.append(time.monotonic() - began)
        bench.prompt()
        began = time.monotonic()
        page.yes(asked)
        bench.prompt()
        back.append(time.monotonic() - began)
        next(seen for seen in views if not seen)
    for bench in working:
        bench.leave()
    board.end()
    return there, back


def told(name: str, seconds: list[float]) -> None:
    worst = max(seconds)
    print(f"{name}: median {statistics.median(seconds):.3f} s, longest {worst:.3f} s, of {len(seconds)}")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--benches", type=int, default=3)
    parser.add_argument("--questions", type=int, default=40)
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        there, back = measured(Path(folder), wanted.benches, wanted.questions)
    told("call at the bench to the board's page", there)
    told("answer at the board to the bench's next prompt", back)


if __name__ == "__main__":
    main()
