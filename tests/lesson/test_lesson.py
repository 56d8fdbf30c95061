"""Practising on two kits: every mistake is met, asked for before the tool names it, and counted."""

from pathlib import Path

import pytest
from pupil import Pupil, at_work, truth, wrong

from assistant.bench import spoken
from assistant.journal.errors import RecordFull
from assistant.journal.events import EVENTS
from assistant.journal.file import Journal, read
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.language.listening import Listening
from assistant.lesson.lesson import AGAIN
from assistant.lesson.naming import prompt_of
from assistant.lesson.score import Found
from assistant.practice.rehearsal import AT_STEP, NONE, PLANTED, name_of
from assistant.practice.slips import Slip
from assistant.speech.heard import HeardEntry, HeardKind
from assistant.speech.understanding import Asked
from assistant.workflow.advance import advance
from assistant.workflow.events import AskedAgain, Event
from assistant.workflow.state import Bench

SCALE = (Slip.SCALE_MISREAD_TEN, Slip.DIGITS_CONFUSED, Slip.DIGITS_SWAPPED)


@pytest.mark.parametrize("plant", [None, *PLANTED])
def test_every_mistake_is_asked_for_before_the_tool_names_it(
    tmp_path: Path, kit: Kit, plant: Slip | None
) -> None:
    pupil = at_work(tmp_path, kit, plant)
    pupil.until("practice")
    code = name_of(plant)
    assert prompt_of(code) not in pupil.said
    assert f"refused-{code}" not in pupil.said
    pupil.to_the_end()
    score = pupil.practice.lesson.score
    assert (score.mistake, score.found, score.misread) == (code, Found.FIRST, 0)
    assert score.lenses == (5 if plant is None else 4)
    assert pupil.practice.session.bench.closed[-1].outcome == "handed_over"


@pytest.mark.parametrize("plant", SCALE)
def test_a_number_keyed_as_told_and_not_as_it_lies_passes_the_mistake_on(
    tmp_path: Path, kit: Kit, plant: Slip
) -> None:
    pupil = at_work(tmp_path, kit, plant, parrots=True)
    pupil.until("practice")
    assert pupil.practice.session.bench.current.step == "verdict"
    pupil.to_the_end()
    score = pupil.practice.lesson.score
    assert (score.mistake, score.found) == (name_of(plant), Found.FIRST)
    assert score.misread == 1
    assert score.lenses == 2 + 1


def test_a_raised_hand_names_it_first_and_what_is_taken_back_is_done_rightly(
    tmp_path: Path, kit: Kit
) -> None:
    pupil = at_work(tmp_path, kit, Slip.PLUS_AXIS_DOTTED)
    dots_until(pupil, "dots 180 lines 90")
    pupil.raise_hand()
    pupil.key(pupil.answer())
    assert pupil.said[-2:] == ["practice-right", "step-dot"]
    pupil.key("")
    pupil.take_back()
    assert pupil.practice.lesson.text == "dots 180 lines 180"
    pupil.to_the_end()
    score = pupil.practice.lesson.score
    assert (score.found, score.lenses) == (Found.RAISED, 5)
    assert not [text_id for text_id in pupil.said if text_id.startswith("cause-")]


def dots_until(pupil: Pupil, text: str) -> None:
    for _ in range(100):
        if pupil.practice.lesson.text == text:
            return
        pupil.key(pupil.answer())
    raise AssertionError(f"{text!r} never lay there")


def test_named_wrongly_twice_it_is_told(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, Slip.MARKED_FACE_DOWN, names=wrong)
    pupil.to_the_end()
    score = pupil.practice.lesson.score
    assert (score.mistake, score.found, score.for_finding) == ("face_down", Found.MISSED, 0)
    told = pupil.said.index("practice-was")
    assert pupil.said[told + 1] == "cause-face_down"
    assert pupil.said.count("practice-wrong") == 1


def test_named_rightly_at_the_second_try_is_worth_one(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(
        tmp_path, kit, Slip.LENSES_SWAPPED, names=lambda p, q: (truth if q.crossed else wrong)(p, q)
    )
    pupil.to_the_end()
    assert pupil.practice.lesson.score.found is Found.SECOND
    assert pupil.practice.lesson.score.for_finding == 1


def test_a_hand_raised_for_nothing_costs_a_lens(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, None)
    pupil.until("read")
    pupil.names = wrong
    pupil.raise_hand()
    pupil.key(pupil.answer())
    assert pupil.said[-3] == "practice-wrong"
    pupil.names = truth
    pupil.to_the_end()
    assert pupil.practice.lesson.score.lenses == 4


def test_a_hand_raised_by_accident_is_lowered_for_nothing(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, None)
    pupil.until("read")
    pupil.raise_hand()
    pupil.take_back()
    assert pupil.listen.step == "read"
    pupil.raise_hand()
    pupil.key("0")
    pupil.to_the_end()
    assert pupil.practice.lesson.score.lenses == 5


def test_a_second_call_brings_the_supervisor(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, None)
    pupil.until("read")
    pupil.raise_hand()
    pupil.raise_hand()
    assert pupil.listen.step == "supervisor"
    assert pupil.practice.lesson.text == ""


def test_a_hand_raised_before_a_pair_is_begun_has_the_step_said_again(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, None)
    pupil.raise_hand()
    assert pupil.said == ["step-order"]
    assert pupil.listen.step == "order"
    assert pupil.practice.lesson.score.false_alarms == 0


def test_what_a_pupil_misreads_is_counted_and_what_means_the_same_is_not(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, None)
    pupil.until("read")
    lies = pupil.practice.lesson.text
    pupil.key(f"{float(pupil.answer()):+g}")
    assert pupil.practice.lesson.score.misread == 0
    pupil.key("-9.00")
    assert pupil.practice.lesson.score.misread == 1
    assert pupil.listen.field == "sphere"
    assert pupil.practice.lesson.text == lies
    pupil.to_the_end()
    assert pupil.practice.lesson.score.for_reading == 1


def test_the_choices_are_read_out_when_asked_again(tmp_path: Path, kit: Kit) -> None:
    pupil = at_work(tmp_path, kit, Slip.CHIPPED)
    pupil.until("practice")
    question = pupil.practice.lesson.asked
    assert question is not None
    pupil.take_back()
    assert [text_id for text_id in pupil.said[-12:] if text_id != "practice-number"] == [
        prompt_of(code) for code in question.offered
    ]


def test_a_mistake_can_be_named_and_the_end_answered_by_voice(tmp_path: Path, demo: Kit) -> None:
    pupil = at_work(tmp_path, demo, Slip.PIN_LONG)
    pupil.until("practice")
    assert spoken.asked(pupil.listen, "en") == Asked(Listening.DIGIT, "en", None, 0, 6)
    heard = HeardEntry(HeardKind.ANSWER, pupil.chosen(), "two", "000001.flac")
    event = spoken.event_of(heard, pupil.listen, 0.0)
    assert event is not None
    pupil.send(event)
    assert pupil.practice.lesson.score.found is Found.FIRST
    pupil.until("score")
    question = spoken.asked(pupil.listen, "en")
    assert question is not None
    assert question.listening is Listening.YES_NO


@pytest.mark.parametrize("text", ["7", "x", "-1", ""])
def test_a_choice_that_is_none_is_refused(tmp_path: Path, demo: Kit, text: str) -> None:
    pupil = at_work(tmp_path, demo, Slip.PIN_SHORT)
    pupil.until("practice")
    pupil.key(text)
    assert pupil.said[-2].startswith("refused-")
    assert pupil.said[-1] == "practice-which", "the question is asked again"
    assert pupil.listen.step == "practice"


def test_the_question_is_asked_again_after_a_wrong_name(tmp_path: Path, demo: Kit) -> None:
    pupil = at_work(tmp_path, demo, Slip.PIN_SHORT, names=wrong)
    pupil.until("practice")
    pupil.key(pupil.answer())
    assert pupil.said[-2:] == ["practice-wrong", "practice-which"]


@pytest.mark.parametrize("key", ["7", "*", "<"])
def test_whether_once_more_is_asked_again_until_it_is_answered(tmp_path: Path, demo: Kit, key: str) -> None:
    pupil = at_work(tmp_path, demo, None)
    pupil.until("score")
    pupil.said.clear()
    if key == "*":
        pupil.send(AskedAgain(at=0.0))
    elif key == "<":
        pupil.take_back()
    else:
        pupil.key(key)
    assert pupil.said[-1] == "practice-again"
    assert pupil.listen == AGAIN


@pytest.mark.parametrize("plant", [Slip.SLOT_DEEP, Slip.TURNED_IN_RIM])
def test_the_record_of_a_practice_is_a_bench_s_own(tmp_path: Path, kit: Kit, plant: Slip) -> None:
    """Nothing of the practice is in it, and it folds to the same pair."""
    pupil = at_work(tmp_path, kit, plant)
    pupil.to_the_end()
    bench = Bench(kit, Stock.packed(kit.bank))
    lines = read(tmp_path / "0001" / "record.jsonl", EVENTS).lines
    for line in lines:
        bench, _ = advance(bench, line.event)
    assert bench.closed == pupil.practice.session.bench.closed
    assert {line.bench for line in lines} == {"practice"}


def test_a_full_disk_loses_no_figure_that_lies_there(
    tmp_path: Path, demo: Kit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The entry is not kept, which is said; what lies there stays, and is keyed again once there is room."""
    pupil = at_work(tmp_path, demo, Slip.SLOT_SHALLOW)
    pupil.until("cut")
    lies, bench = pupil.practice.lesson.text, pupil.practice.session.bench

    def full(_journal: Journal[Event], _event: Event) -> int:
        raise RecordFull("no space left", tmp_path)

    with monkeypatch.context() as patched:
        patched.setattr(Journal, "append", full)
        pupil.key(pupil.answer())
        assert pupil.said[-2:] == ["record-disk-full", "step-cut"]
    assert pupil.practice.session.bench is bench
    assert pupil.practice.lesson.text == lies
    pupil.to_the_end()
    assert pupil.practice.lesson.score.lenses == 4


def test_every_mistake_has_a_name_that_is_said(kit: Kit) -> None:
    assert NONE not in {name_of(slip) for slip in PLANTED}
    assert set(AT_STEP) <= set(PLANTED)
