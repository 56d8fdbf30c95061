"""Practices kept: one line each, in a file that only grows, read again whatever happened to it."""

from pathlib import Path

import pytest

from assistant.lesson.progress import FILE, Practised, ProgressError, keep, kept, practised, table
from assistant.lesson.score import Found, Score
from assistant.optics.eye import Eye


def line(number: int, helper: str = "asha", found: Found = Found.FIRST, finished: bool = True) -> Practised:
    score = Score("face_down", Eye.LEFT, found, 0, 20, 1)
    return practised(score, helper, "random", number, 1000.0 * number, 1000.0 * number + 300.0, finished)


def test_lines_come_back_as_they_were_kept(tmp_path: Path) -> None:
    lines = tuple(line(number) for number in range(3))
    for one in lines:
        keep(tmp_path, one)
    assert kept(tmp_path) == (lines, ())


def test_nothing_kept_is_no_trouble(tmp_path: Path) -> None:
    assert kept(tmp_path) == ((), ())
    assert table(()) == "No practice has been kept yet."


def test_a_torn_line_is_named_and_costs_no_other(tmp_path: Path) -> None:
    keep(tmp_path, line(1))
    path = tmp_path / FILE
    path.write_bytes(path.read_bytes()[:-30])
    keep(tmp_path, line(2))
    lines, troubles = kept(tmp_path)
    assert lines == (line(2),)
    assert troubles == (f"{path}, line 1: this is no practice and is left out",)


def test_a_place_that_cannot_be_written_is_said_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / FILE).mkdir()
    with pytest.raises(ProgressError, match=r"this practice could not be kept \(Is a directory\)"):
        keep(tmp_path, line(1))


def test_the_table_shows_first_and_last_and_what_is_missed(tmp_path: Path) -> None:
    asha = [line(n, found=Found.MISSED if n < 4 else Found.RAISED) for n in range(8)]
    head, row = table([*asha, line(9, finished=False)]).splitlines()
    assert head.split()[:3] == ["helper", "done", "left"]
    assert " ".join(row.split()) == "asha 8 1 1 of 5 4 of 5 1.6 3.4 5.0% 5.0 face down (4 of 8)"


def test_each_helper_has_a_row(tmp_path: Path) -> None:
    rows = table([line(1, "juma"), line(2, "asha")]).splitlines()
    assert [row.split()[0] for row in rows] == ["helper", "asha", "juma"]
