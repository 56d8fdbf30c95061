"""The board line by line."""

import io
from pathlib import Path

from full_board import CODE, Boat, morning

from assistant.board.plain import Plain


class Talk:
    """Type lines, read what came."""

    def __init__(self, folder: Path, benches: int = 4) -> None:
        self.boat: Boat = morning(folder, benches)
        self._sink = io.StringIO()
        self.plain = Plain(self.boat.desk, self._sink, folder / "reports")
        self.plain.look()

    def said(self) -> str:
        text = self._sink.getvalue()
        self._sink.seek(0)
        self._sink.truncate()
        return text

    def typed(self, line: str) -> str:
        self.said()
        self.plain.take(line)
        return self.said()


def test_it_prints_benches_and_questions_once(tmp_path: Path) -> None:
    talk = Talk(tmp_path)
    first = talk.said()
    assert first.count("bench crab") == 1
    assert "question 1: heron, case 231: May this pair be made as planned?" in first
    assert "why: the right eye needs" in first
    assert f"pairing code {talk.boat.desk.view().code} at 192.168.8.2:8750" in first
    talk.boat.now += 3.0
    talk.plain.look()
    assert talk.said() == ""


def test_a_question_is_answered_with_its_number(tmp_path: Path) -> None:
    talk = Talk(tmp_path)
    assert "key a supervisor's code first" in talk.typed("yes 1 as agreed")
    assert "no supervisor's code" in talk.typed("code 1111")
    assert talk.typed(f"code {CODE}") == "code taken\n"
    assert "give the number of a question" in talk.typed("yes 7")
    assert "answer 1 sent to heron" in talk.typed("yes 1 as agreed")
    talk.plain.look()
    assert "answer on its way" in talk.said()
    talk.boat.take_up("heron")
    talk.plain.look()
    said = talk.said()
    assert "question 1 is over: heron goes on" in said
    assert "fetching the lens" in said


def test_other_lines(tmp_path: Path) -> None:
    talk = Talk(tmp_path)
    talk.typed(f"code {CODE}")
    assert "'dance' is not known; known are" in talk.typed("dance")
    assert talk.typed("") == ""
    assert "paired: none" in talk.typed("pair")
    assert "Today: 5 pairs done, " in talk.typed("today")
    assert "turtle" in talk.typed("list")
    assert "count sent to" in talk.typed("count 170 3")
    assert "in digits" in talk.typed("count 170 many")
    assert "no bench heron is paired" in talk.typed("release heron")
    assert "is taken away" in talk.typed("forget otter")
    assert "report written" in talk.typed("report")
    assert talk.typed("quit") == ""
    assert talk.plain.over
