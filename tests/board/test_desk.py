"""What the supervisor may do at the board, and what needs the code."""

import csv
import io
from datetime import datetime
from html import escape
from pathlib import Path

import msgspec
import pytest
from full_board import CODE, NOW, Boat, asks, morning, session

from assistant.board.desk import LOCKED, ReportError
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Answer, Counted, decode_mail, encode
from assistant.hub.report import as_html, sections
from assistant.hub.store import Store, StoreError
from assistant.workflow.events import DayOpened, SupervisorAnswered


def test_looking_needs_no_code_and_deciding_does(tmp_path: Path) -> None:
    desk = morning(tmp_path).desk
    question = desk.view().board.questions[0]
    for act in (
        lambda: desk.answer(question.bench, question.line, True),
        lambda: desk.count(170, 3),
        lambda: desk.let_go("heron"),
        lambda: desk.forget("heron"),
    ):
        with pytest.raises(NotDone) as refusal:
            act()
        assert refusal.value.code == LOCKED


def test_five_wrong_codes_wait(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    for _ in range(5):
        with pytest.raises(NotDone, match="no supervisor's code"):
            boat.desk.unlock("1234")
    with pytest.raises(NotDone, match="wait"):
        boat.desk.unlock(CODE)
    boat.now += 61.0
    boat.desk.unlock(CODE)
    assert boat.desk.unlocked


@pytest.mark.parametrize("code", ["", "12 4", "١٢٣٤", "9" * 21, "abc"])
def test_a_code_is_digits(tmp_path: Path, code: str) -> None:
    with pytest.raises(NotDone):
        morning(tmp_path).desk.unlock(code)


@pytest.mark.parametrize("yes", [True, False])
def test_an_answer_reaches_the_bench_with_code_and_reason_and_stays_in_its_record(
    tmp_path: Path, yes: bool
) -> None:
    boat = morning(tmp_path)
    desk = boat.desk
    desk.unlock(CODE)
    question = desk.view().board.questions[0]
    desk.answer("heron", question.line, yes, "as agreed")
    sent = boat.mail["heron"][0]
    assert sent == Answer(question=question.line, yes=yes, code=CODE, reason="as agreed")
    assert desk.view().board.questions[0].answered
    boat.take_up("heron")
    after = desk.view().board
    assert after.questions == []
    bench = next(bench for bench in after.benches if bench.name == "heron")
    assert bench.asked_at is None
    assert (bench.step == "fetch") == yes
    assert (after.today.not_made == 2) != yes


def test_a_question_is_answered_once(tmp_path: Path) -> None:
    desk = morning(tmp_path).desk
    desk.unlock(CODE)
    line = desk.view().board.questions[0].line
    desk.answer("heron", line, True)
    with pytest.raises(NotDone, match="on its way"):
        desk.answer("heron", line, False)


def test_questions_come_oldest_first(tmp_path: Path) -> None:
    asked = [question.asked_at for question in morning(tmp_path, 8).desk.view().board.questions]
    assert asked == sorted(asked)
    assert len(asked) == 2


def test_a_count_goes_to_benches(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    boat.desk.unlock(CODE)
    for bench in boat.desk.count(170, 3).split(", "):
        (sent,) = boat.mail[bench]
        assert isinstance(sent, Counted)
        assert (sent.pocket, sent.count) == (170, 3)
    for pocket, found in ((170, -1), (170, 100_001), (99_999, 1)):
        with pytest.raises(NotDone):
            boat.desk.count(pocket, found)


def test_a_full_disk_at_the_board_is_a_refusal_in_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    boat = morning(tmp_path)
    boat.desk.unlock(CODE)
    line = boat.desk.view().board.questions[0].line

    def full(*_: object) -> None:
        raise StoreError("the board's disk is full")

    with monkeypatch.context() as broken:
        for name in ("add_mail", "forget"):
            broken.setattr(Store, name, full)
        with pytest.raises(NotDone, match="disk is full"):
            boat.desk.answer("heron", line, True)
        with pytest.raises(NotDone, match="disk is full"):
            boat.desk.forget("heron")
    assert boat.mail["heron"] == []
    boat.desk.answer("heron", line, True)
    assert len(boat.mail["heron"]) == 1


def test_a_reason_that_is_too_long_is_refused(tmp_path: Path) -> None:
    desk = morning(tmp_path).desk
    desk.unlock(CODE)
    with pytest.raises(NotDone, match="allowed are 200"):
        desk.answer("heron", 1, True, "x" * 201)


@pytest.mark.parametrize("reason", ["a\tb", "a\nb", "ends\n", "\x1b[31m", "\x7f", "\ud800"])
def test_a_reason_that_no_bench_could_read_is_refused(tmp_path: Path, reason: str) -> None:
    """It would ride on every reply to the bench, which could then read none."""
    boat = morning(tmp_path)
    boat.desk.unlock(CODE)
    line = boat.desk.view().board.questions[0].line
    with pytest.raises(NotDone, match="allowed is one line without tabs"):
        boat.desk.answer("heron", line, True, reason)
    assert boat.mail["heron"] == []


def test_a_reason_in_any_language_is_one_line(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    boat.desk.unlock(CODE)
    line = boat.desk.view().board.questions[0].line
    boat.desk.answer("heron", line, True, "vidro não há – 無し 👓")
    (answer,) = boat.mail["heron"]
    assert isinstance(answer, Answer)
    assert decode_mail(encode(answer)) == answer


def test_the_report_holds_the_day_in_both_forms(tmp_path: Path) -> None:
    boat = morning(tmp_path, 8)
    page, table = boat.desk.report(tmp_path / "reports")
    assert page.name.startswith("day-2026-11-0")
    html = page.read_text(encoding="utf-8")
    assert "http:" not in html
    assert "https:" not in html
    rows = list(csv.reader(io.StringIO(table.read_text(encoding="utf-8"))))
    assert rows[rows.index(["Pairs"]) + 2][:2] == ["5", "1"]
    first = rows.index(["Benches"]) + 2
    assert (
        " ".join(row[0] for row in rows[first : first + 8]) == "crab egret gecko heron otter ray tern turtle"
    )
    turtle = rows[first + 7]
    assert turtle[4:6] == ["221", "fail"]
    assert turtle[7] == "the two lenses are in each other's rims"
    for section in sections(boat.desk.view().board):
        assert section.title in html
        for cell in (cell for row in section.rows for cell in row):
            assert escape(str(cell)) in html
            assert any(str(cell) in row for row in rows)


def test_a_clinic_is_named_in_the_report_where_it_has_a_name(tmp_path: Path) -> None:
    view = morning(tmp_path).desk.view().board
    at = datetime.fromtimestamp(view.today.began).replace(hour=23, minute=30)
    assert "<p>As known at 23:30.</p>" in as_html(view, at)
    named = msgspec.structs.replace(view, clinic="south shore")
    assert "<p>Clinic: south shore. As known at 23:30.</p>" in as_html(named, at)


def test_yesterday_s_pairs_are_not_today_s(tmp_path: Path) -> None:
    """Otter works on day one alone and stays at home on day two; heron works on both, crab on the second."""
    boat = Boat(tmp_path)
    pair = session("01-smooth-pair", boat.kit)
    boat.send("otter", pair)
    boat.send("heron", pair)
    assert boat.hub.view().today.pairs_done == 2
    boat.now += 3600.0
    assert boat.hub.view().today.pairs_done == 2, "who has packed up an hour ago worked today"
    boat.now += 23 * 3600.0
    later = boat.now - pair[-1].at
    boat.send("crab", [msgspec.structs.replace(event, at=event.at + later) for event in pair])
    assert boat.hub.view().today.pairs_done == 1
    day_two = DayOpened(at=boat.now, date="2026-11-04")
    boat.send("heron", [*pair, day_two])
    view = boat.hub.view()
    assert view.today.pairs_done == 1
    assert {bench.name: bench.pairs_done for bench in view.benches} == {"crab": 1, "heron": 0, "otter": 0}


@pytest.mark.parametrize("years", [-30.0, 10.0, 30_000.0])
def test_a_bench_whose_clock_was_years_off_when_it_began_moves_no_day(tmp_path: Path, years: float) -> None:
    boat = Boat(tmp_path)
    pair = session("01-smooth-pair", boat.kit)
    boat.send("crab", pair)
    began = boat.hub.view().today.began
    first = msgspec.structs.replace(pair[0], at=pair[0].at + years * 365.0 * 86_400.0)
    boat.send("heron", [first, *pair[1:]])
    today = boat.hub.view().today
    assert today.pairs_done == 2
    assert today.began == began
    assert boat.desk.report(tmp_path)[0].name.startswith("day-2026-")


def test_the_report_is_of_the_day_the_benches_opened_whenever_it_is_written(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    opened = datetime.fromtimestamp(boat.hub.view().today.began)
    boat.now = opened.replace(hour=23, minute=59).timestamp()
    names = {path.name for path in boat.desk.report(tmp_path / "reports")}
    assert names == {f"day-{opened:%Y-%m-%d}.{ending}" for ending in ("html", "csv")}
    boat.now += 7 * 3600.0
    (page, table) = boat.desk.report(tmp_path / "reports")
    assert {page.name, table.name} == names
    html = page.read_text(encoding="utf-8")
    assert f", {opened:%Y-%m-%d}</title>" in html
    assert f"As known at {datetime.fromtimestamp(boat.now):%Y-%m-%d} 06:59." in html
    assert boat.hub.view().today.pairs_done == 5


def test_a_report_that_cannot_be_written_says_why(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(ReportError, match="cannot be written"):
        morning(tmp_path).desk.report(tmp_path / "file")


def test_an_answer_given_at_the_bench_closes_the_question(tmp_path: Path) -> None:
    boat = Boat(tmp_path)
    events = session("07-substitute-granted", boat.kit, asks)
    boat.send("heron", events)
    boat.desk.unlock(CODE)
    line = boat.desk.view().board.questions[0].line
    boat.send("heron", [*events, SupervisorAnswered(at=events[-1].at + 1, yes=True, code=CODE)])
    assert boat.desk.view().board.questions == []
    with pytest.raises(NotDone, match="does not ask"):
        boat.desk.answer("heron", line, True)


def test_a_silent_bench_is_away_since_it_was_heard(tmp_path: Path) -> None:
    boat = morning(tmp_path)
    before = {bench.name: bench for bench in boat.desk.view().board.benches}
    assert [name for name, bench in before.items() if not bench.connected] == ["otter"]
    assert before["otter"].heard_at == NOW
