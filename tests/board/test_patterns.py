"""A kit that is described wrongly is found out from the benches' own records, and told in words everywhere."""

from pathlib import Path

import pytest
from full_board import Boat, index_elsewhere

from assistant.board import telling
from assistant.hub.report import as_csv
from assistant.kit.load import demo_kit, load_kit

KITS = Path(__file__).parent.parent / "kits"


@pytest.fixture(scope="module", params=["demo", "forty"])
def boat(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Boat:
    kit = demo_kit() if request.param == "demo" else load_kit(KITS / "forty")
    filled = Boat(tmp_path_factory.mktemp("board"), kit)
    filled.send("crab", index_elsewhere(kit))
    return filled


def test_the_board_says_it_is_the_kit(boat: Boat) -> None:
    today = boat.hub.view().today
    assert today.pairs_done == 10
    assert [(pattern.about, pattern.bench) for pattern in today.patterns] == [("kit", "crab")]
    (pattern,) = today.patterns
    assert pattern.sure >= 0.99
    assert "20 lenses" in pattern.evidence
    assert "right axes turned" in pattern.evidence
    told = "\n".join(line for _, lines in telling.day_parts(today) for line in lines)
    assert "bench crab: Kit fault" in told
    assert "Kit fault" in as_csv(boat.hub.view())
