"""No code reaches a supervisor: whatever the workflow can say has its words."""

import math
from pathlib import Path
from random import Random

import pytest
from full_board import morning

from assistant.board import telling
from assistant.hub.patterns_told import pattern_view, sentence
from assistant.hub.words import ASKING, CAUSES, DOING, HELPER_SIGNS, ROWS, TRIED
from assistant.optics.eye import Eye
from assistant.optics.faults import CauseCode
from assistant.optics.patterns import AxisError, patterns
from assistant.optics.standard import KINDS
from assistant.ui.pictures.signs import SIGNS
from assistant.workflow.checking import PAIR_CODES
from assistant.workflow.steps import BY_ID


def test_every_step_has_its_words() -> None:
    assert set(DOING) == {*BY_ID, "closed"}
    assert set(TRIED) <= set(BY_ID)


def test_every_cause_and_tolerance_row_has_its_words() -> None:
    assert set(CAUSES) == {*CauseCode, *PAIR_CODES, "not_comfortable", "acuity_low"}
    assert set(ROWS) == set(KINDS)


def test_every_question_of_the_workflow_has_its_words() -> None:
    """The codes as they stand in the workflow's own source: `Question("...")` and the call for help."""
    import re

    import assistant.workflow

    folder = Path(assistant.workflow.__path__[0])
    source = "".join(path.read_text() for path in folder.glob("*.py"))
    codes = set(re.findall(r'Question\("(\w+)"', source)) | {"help"}
    assert codes == set(ASKING)


def test_every_sign_has_its_word() -> None:
    assert len(HELPER_SIGNS) == len(SIGNS)


@pytest.mark.parametrize(
    ("seconds", "told"),
    [(-3.0, "0:00"), (0.0, "0:00"), (65.4, "1:05"), (3599.9, "59:59"), (7800.0, "2 h 10")],
)
def test_lengths_of_time(seconds: float, told: str) -> None:
    assert telling.length_of_time(seconds) == told


def test_nothing_told_has_an_underscore(tmp_path: Path) -> None:
    """Codes are written with underscores; sentences are not."""
    board = morning(tmp_path, 8).desk.view().board
    told = [telling.bench_line(bench, board.now) for bench in board.benches]
    told += [line for question in board.questions for line in telling.question_lines(question)]
    told += [line for _, lines in telling.day_parts(board.today) for line in lines]
    assert len(board.benches) == 8
    assert len(board.questions) == 2
    assert not [line for line in told if "_" in line]


def errors(kit_deg: float, instrument_deg: float, growing: float, lenses: int = 80) -> list[AxisError]:
    chance = Random(5)
    found = []
    for number in range(lenses):
        eye = Eye.RIGHT if number % 2 == 0 else Eye.LEFT
        steady = instrument_deg + (kit_deg if eye is Eye.RIGHT else -kit_deg)
        spread = 0.7 + growing * number / lenses
        found.append(AxisError(eye, steady + chance.gauss(0.0, spread), "crab", 6, float(number)))
    return found


@pytest.mark.parametrize(
    ("wrong", "about"),
    [((4.0, 0.0, 0.0), "kit"), ((0.0, 3.0, 0.0), "instrument"), ((0.0, 0.0, 9.0), "person")],
)
def test_a_pattern_says_whose_fault_it_is(wrong: tuple[float, float, float], about: str) -> None:
    views = [pattern_view(pattern) for pattern in patterns(errors(*wrong))]
    assert views[0].about == about
    told = sentence(views[0])
    assert told.startswith("bench crab")
    assert ("helper 6" in told) == (about == "person")
    assert "80 lenses" in told
    assert "sure" in told
    assert "_" not in told
    assert math.isfinite(views[0].sure)


def test_careful_work_shows_no_pattern() -> None:
    assert patterns(errors(0.0, 0.0, 0.0)) == ()


@pytest.mark.parametrize("at", [1e12, -1e12, 2e12])
def test_a_moment_that_no_calendar_has_does_not_end_the_board(at: float) -> None:
    """A bench may send any time that its record can hold."""
    assert telling.o_clock(at) == "?"
