"""The recorded sessions can be remade, to the byte, and end as they say they end."""

from pathlib import Path

import pytest

from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit
from assistant.kit.stock import Stock
from assistant.practice import sessions
from assistant.workflow.advance import advance
from assistant.workflow.state import Bench

SHIPPED = Path(__file__).parents[2] / "demo_sessions"
FILES = sorted(SHIPPED.glob("*.jsonl"))


def test_there_are_sessions_and_they_are_small() -> None:
    assert len(FILES) >= 8
    assert sum(file.stat().st_size for file in SHIPPED.rglob("*") if file.is_file()) < 10_000_000


def test_remade_they_are_the_same(tmp_path: Path) -> None:
    sessions.main([str(tmp_path)])
    assert {file.name for file in tmp_path.glob("*.jsonl")} == {file.name for file in FILES}
    for file in FILES:
        assert (tmp_path / file.name).read_bytes() == file.read_bytes(), file.name


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_session_folds_and_its_pairs_are_closed(file: Path) -> None:
    reading = read(file, EVENTS)
    assert reading.problem is None
    kit = demo_kit()
    bench = Bench(kit, Stock.packed(kit.bank))
    for line in reading.lines:
        bench, _ = advance(bench, line.event)
    assert bench.closed
    assert int(bench.stock.out.sum()) == 0
