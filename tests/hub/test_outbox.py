"""Answers and counts on their way: kept until the bench's record holds them, through restarts, and once."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import sqlalchemy as sql
from clinics import Clinic

from assistant.hub.notdone import NotDone
from assistant.hub.protocol import SILENT_S, Answer, AnswerGiven, Counted, CountGiven, Mail
from assistant.hub.store import StoreError
from assistant.hub.tables import MAIL
from assistant.kit.profile import Kit
from assistant.workflow.entry import LEAVE
from assistant.workflow.events import Answered, HelpAsked

CODE = "4071"


@pytest.fixture
def clinic(database: Path | str, demo: Kit) -> Iterator[Clinic]:
    made = Clinic(database, demo)
    made.bench("heron").until("order")
    made.send("heron")
    yield made
    made.store.close()


def asks(clinic: Clinic, name: str = "heron") -> int:
    """The bench calls for help; the line of its question."""
    hands = clinic.bench(name).hands
    hands.send(HelpAsked(at=hands.tick()))
    clinic.send(name)
    return len(hands.events)


def answer(clinic: Clinic, question: int, yes: bool = True, code: str = CODE) -> None:
    given = AnswerGiven(bench="heron", question=question, yes=yes, reason="go on")
    clinic.hub.answer(code, given)


def test_an_answer_comes_with_every_reply_until_the_record_has_it(clinic: Clinic) -> None:
    question = asks(clinic)
    assert clinic.hub.view().questions[0].line == question
    answer(clinic, question)
    wanted = Answer(question=question, yes=True, code=CODE, reason="go on")
    assert clinic.send("heron").mail == [wanted]
    assert clinic.send("heron").mail == [wanted]
    assert clinic.hub.view().questions[0].answered
    clinic.take_mail("heron", wanted)
    assert clinic.send("heron").mail == []
    assert clinic.bench("heron").bench.question is None
    assert clinic.hub.view().questions == []


def test_an_answer_outlives_the_board(clinic: Clinic) -> None:
    answer(clinic, asks(clinic))
    clinic.restart()
    assert clinic.hub.view().questions[0].answered
    (mail,) = clinic.send("heron").mail
    assert isinstance(mail, Answer)
    assert (mail.code, mail.reason) == (CODE, "go on")


def test_an_answer_taken_while_the_board_was_down_is_not_sent_again(clinic: Clinic) -> None:
    question = asks(clinic)
    answer(clinic, question)
    clinic.take_mail("heron", Answer(question=question, yes=True, code=CODE))
    clinic.restart()
    assert clinic.send("heron").mail == []
    clinic.restart()
    assert clinic.send("heron").mail == []


def test_an_answer_given_at_the_bench_makes_the_boards_needless(clinic: Clinic) -> None:
    question = asks(clinic)
    answer(clinic, question)
    hands = clinic.bench("heron").hands
    for name, text in (("code", CODE), ("decision", "+")):
        hands.send(Answered(at=hands.tick(), step="supervisor", field=name, text=text))
    assert clinic.bench("heron").bench.question is None
    assert clinic.send("heron").mail == []


def test_leaving_the_program_keeps_the_question_closed(clinic: Clinic) -> None:
    question = asks(clinic)
    hands = clinic.bench("heron").hands
    for name, text in (("code", CODE), ("decision", LEAVE)):
        hands.send(Answered(at=hands.tick(), step="supervisor", field=name, text=text))
    clinic.send("heron")
    with pytest.raises(NotDone, match="does not ask"):
        answer(clinic, question)


def test_what_cannot_be_answered_is_refused(clinic: Clinic) -> None:
    with pytest.raises(NotDone, match="does not ask at line 3"):
        answer(clinic, 3)
    question = asks(clinic)
    with pytest.raises(NotDone, match="no supervisor's code") as refusal:
        answer(clinic, question, code="1111")
    assert refusal.value.status == 403
    answer(clinic, question)
    with pytest.raises(NotDone, match="on its way"):
        answer(clinic, question, yes=False)
    with pytest.raises(NotDone, match="bench turtle does not ask"):
        clinic.hub.answer(CODE, AnswerGiven(bench="turtle", question=1, yes=True))


def test_the_code_of_an_answer_is_not_kept_beside_it_in_the_clear(clinic: Clinic) -> None:
    answer(clinic, asks(clinic))
    with clinic.store._engine.connect() as connection:
        (row,) = connection.execute(sql.select(MAIL)).all()
    assert CODE not in str(tuple(row))
    assert len(row.code_hash) == 64


def test_an_answer_by_a_code_that_is_good_no_more_is_not_sent(clinic: Clinic) -> None:
    answer(clinic, asks(clinic))
    assert clinic.store.mail(["1111", "2222"]) == []


def pocket_of(clinic: Clinic) -> int:
    return int(clinic.kit.bank.pocket[0])


def test_a_count_is_written_down_by_a_bench_and_once(clinic: Clinic) -> None:
    pocket = pocket_of(clinic)
    assert clinic.hub.count(CountGiven(pocket=pocket, count=7)) == "heron"
    clinic.restart()
    (mail,) = clinic.send("heron").mail
    assert mail == Counted(pocket=pocket, count=7, counted_at=clinic.clock.now)
    clinic.take_mail("heron", mail)
    assert clinic.send("heron").mail == []
    assert clinic.there(pocket) == 7
    clinic.restart()
    assert clinic.send("heron").mail == []
    assert clinic.there(pocket) == 7


def test_two_counts_at_one_moment_are_two(clinic: Clinic) -> None:
    pocket = pocket_of(clinic)
    for count in (7, 6):
        clinic.hub.count(CountGiven(pocket=pocket, count=count))
    first, second = clinic.send("heron").mail
    assert isinstance(first, Counted)
    assert isinstance(second, Counted)
    assert second.counted_at > first.counted_at
    clinic.take_mail("heron", first)
    assert clinic.send("heron").mail == [second]
    clinic.take_mail("heron", second)
    clinic.send("heron")
    assert clinic.there(pocket) == 6


def test_a_count_sent_during_a_cut_waits_for_the_bench(clinic: Clinic) -> None:
    """The bench is not known to be gone yet when the supervisor counts."""
    clinic.clock.now += SILENT_S - 1.0
    clinic.hub.count(CountGiven(pocket=pocket_of(clinic), count=7))
    clinic.clock.now += 3600.0
    assert len(clinic.send("heron").mail) == 1


def test_a_pocket_filled_up_may_be_planned_on_by_every_bench(clinic: Clinic) -> None:
    pocket = pocket_of(clinic)
    clinic.bench("crab")
    clinic.send("crab")
    packed = int(clinic.kit.bank.count[0])
    assert clinic.hub.count(CountGiven(pocket=pocket, count=packed + 4)) == "heron, crab"
    for name in ("heron", "crab"):
        (mail,) = clinic.send(name).mail
        clinic.take_mail(name, mail)
        clinic.send(name)
    assert clinic.there(pocket) == packed + 4
    for name in ("heron", "crab"):
        assert clinic.bench(name).bench.stock.at(pocket) - clinic.held(name, pocket) == packed + 4
    assert clinic.hub.bank.ledger.differences == ()
    writer = clinic.hub.count(CountGiven(pocket=pocket, count=packed))
    assert writer in ("heron", "crab"), "that there are fewer, the board tells the other"


def test_without_any_bench_a_count_is_refused(clinic: Clinic) -> None:
    clinic.clock.now += SILENT_S + 1.0
    with pytest.raises(NotDone, match="no bench is connected"):
        clinic.hub.count(CountGiven(pocket=pocket_of(clinic), count=7))
    with pytest.raises(NotDone, match="pocket 999999 is not in the bank"):
        clinic.hub.count(CountGiven(pocket=999_999, count=7))


def test_every_bench_that_found_a_pocket_wrong_hears_its_count(clinic: Clinic) -> None:
    flagged: int | None = None
    for name, case in (("crab", "102"), ("turtle", "103")):
        hands = clinic.bench(name).hands
        clinic.bench(name).until("order")
        clinic.bench(name).order(case)
        clinic.bench(name).until("read")
        for _ in range(9):  # a lens that is not the pocket's, measured until it is believed
            if hands.bench.flagged:
                break
            hands.key("+9.00" if hands.listening().field == "sphere" else "-0.25")
        (flagged,) = hands.bench.flagged
        clinic.send(name)
    assert flagged is not None
    assert clinic.hub.count(CountGiven(pocket=flagged, count=2)) == "crab, turtle"
    for name in ("crab", "turtle"):
        (mail,) = clinic.send(name).mail
        clinic.take_mail(name, mail)
        clinic.send(name)
        assert not clinic.bench(name).bench.flagged
    assert clinic.there(flagged) == 2


def test_a_count_for_a_bench_that_is_gone_is_written_down_by_another(clinic: Clinic) -> None:
    hands = clinic.bench("crab").hands
    clinic.bench("crab").until("order")
    clinic.bench("crab").order("102")
    clinic.bench("crab").until("read")
    while not hands.bench.flagged:
        hands.key("+9.00" if hands.listening().field == "sphere" else "-0.25")
    (flagged,) = hands.bench.flagged
    clinic.send("crab")
    clinic.clock.now += 3600.0
    clinic.send("heron")
    assert "heron" in clinic.hub.count(CountGiven(pocket=flagged, count=0)).split(", ")
    (mail,) = clinic.send("heron").mail
    clinic.take_mail("heron", mail)
    clinic.send("heron")
    assert clinic.there(flagged) == 0


def test_an_answer_whose_code_is_good_no_more_may_be_given_again(clinic: Clinic) -> None:
    question = asks(clinic)
    answer(clinic, question)
    clinic.kit = replace(clinic.kit, supervisor_codes=("5555",))
    clinic.restart()
    answer(clinic, question, yes=False, code="5555")
    (mail,) = clinic.send("heron").mail
    assert isinstance(mail, Answer)
    assert (mail.yes, mail.code) == (False, "5555")


@pytest.mark.parametrize("refused", ["drop_mail", "reserve"])
def test_lines_that_are_stored_are_taken_though_the_disk_then_refuses(
    clinic: Clinic, monkeypatch: pytest.MonkeyPatch, refused: str
) -> None:
    question = asks(clinic)
    answer(clinic, question)
    clinic.reserve("heron", pocket_of(clinic))
    (mail,) = clinic.send("heron").mail
    clinic.take_mail("heron", mail)

    def full(*_: object) -> None:
        raise StoreError("the disk is full")

    before = clinic.hub.version
    with monkeypatch.context() as patched:
        patched.setattr(clinic.store, refused, full)
        assert clinic.send("heron").mail == []
    assert clinic.hub.version > before
    assert clinic.hub.view().questions == []
    assert clinic.hub.trouble == "the disk is full"


def test_mail_that_lies_damaged_on_the_disk_is_said(clinic: Clinic) -> None:
    answer(clinic, asks(clinic))
    with clinic.store._engine.begin() as connection:
        connection.execute(sql.update(MAIL).values(data=b"{torn"))
    with pytest.raises(
        StoreError, match=r"is damaged, mail 'answer-\d+' for bench heron.*away and pair the benches again"
    ):
        clinic.restart()


def test_mail_is_posted_at_once_to_the_one_who_listens(clinic: Clinic) -> None:
    question = asks(clinic)
    old: list[Mail | None] = []
    new: list[Mail | None] = []
    clinic.hub.listen("heron", old.append)
    clinic.hub.listen("heron", new.append)
    assert old == [None]  # one bench listens once
    answer(clinic, question)
    assert old == [None]
    assert len(new) == 1
    clinic.hub.hang_up("heron", old.append)  # the old one's parting does not end the new one
    later: list[Mail | None] = []
    clinic.hub.listen("heron", later.append)
    assert later == new[:1]
    assert new[-1] is None
