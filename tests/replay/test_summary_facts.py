"""One session's share of a summary tells what the fold tells, and what the board's own story tells."""

from collections import Counter
from pathlib import Path

import pytest
from recorded import a_morning, a_pair

from assistant.hub.story import begun, continued
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError
from assistant.optics.rescue import RescueKind
from assistant.practice.slips import Slip
from assistant.replay.mistakes import MistakeKind
from assistant.replay.summary_facts import GIVEN_UP, WAITING, Facts, Lost, WentWrong, facts_of
from assistant.workflow.events import Answered, DayOpened, Event, HelpAsked, SupervisorAnswered, TakenBack

SHIPPED = sorted((Path(__file__).parents[2] / "demo_sessions").glob("*.jsonl"))


def shipped(name: str) -> list[Event]:
    (path,) = (file for file in SHIPPED if file.stem == name)
    return [line.event for line in read(path, EVENTS).lines]


def steps(facts: Facts) -> Counter[str]:
    return Counter(done.step for done in facts.finished)


def test_a_careful_pair_is_right_everywhere_and_loses_nothing(kit: Kit) -> None:
    facts = facts_of(kit, "heron", a_pair(kit))
    assert all(done.first_try for done in facts.finished)
    assert (facts.judged, facts.passed) == (1, 1)
    assert steps(facts)["cut"] == 2
    assert steps(facts)["hand_over"] == 1
    assert [ended.outcome for ended in facts.ended] == ["handed_over"]
    assert not facts.wrong
    assert not facts.lost
    assert not facts.rescues_tried


@pytest.mark.parametrize("seed", range(4))
def test_it_counts_tries_and_axis_errors_as_the_board_does(kit: Kit, seed: int) -> None:
    events = a_morning(kit, seed)
    facts = facts_of(kit, "crab", events)
    story, errors = begun("crab", kit), list[AxisError]()
    for number, event in enumerate(events, 1):
        story = continued(story, number, event)
        errors += story.errors
    done = Counter(one.step for one in facts.finished if one.step != WAITING)
    first = Counter(one.step for one in facts.finished if one.first_try and one.step != WAITING)
    assert {step: (tries.done, tries.first_time) for step, tries in story.tries.items()} == {
        step: (times, first[step]) for step, times in done.items()
    }
    assert facts.axis_errors == errors
    assert len(facts.axis_errors) <= done["cut"]
    assert len(facts.lost) == story.bench.stock.broken + len(story.bench.stock.blanks)


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_no_second_of_a_session_is_lost(file: Path, demo: Kit) -> None:
    """Every gap between two events is on a step that is finished, or a wait; or on a pair given up."""
    events = [line.event for line in read(file, EVENTS).lines]
    facts = facts_of(demo, "heron", events)
    on_steps = sum(done.seconds for done in facts.finished)
    whole = events[-1].at - events[0].at
    assert on_steps <= whole + 1e-6
    taken_back = any(isinstance(event, TakenBack) for event in events)
    if not taken_back and all(ended.outcome == "handed_over" for ended in facts.ended):
        assert on_steps == pytest.approx(whole, abs=1e-6)


def test_a_slot_on_the_centre_line_is_named_and_its_rescue_counted(kit: Kit) -> None:
    facts = facts_of(kit, "crab", a_pair(kit, Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT))
    assert (facts.judged, facts.passed) == (2, 1)
    assert facts.rescues_tried == facts.rescues_held == Counter({RescueKind.SECOND_SLOT: 1})
    assert facts.wrong == Counter({WentWrong(MistakeKind.FAILED, "distance", "slot_on_centre_line"): 1})
    assert [done.step for done in facts.finished if not done.first_try] == ["verdict"]
    assert not facts.lost


def test_a_lens_read_again_with_the_same_slot_is_no_further_evidence(kit: Kit) -> None:
    """Left is cut again after the first check; right is only read again."""
    facts = facts_of(kit, "crab", a_pair(kit, Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT))
    assert [error.eye for error in facts.axis_errors] == [Eye.RIGHT, Eye.LEFT, Eye.LEFT]
    right, wrong, mended = (abs(error.error_deg) for error in facts.axis_errors)
    assert wrong > right
    assert wrong > mended


def test_a_chipped_lens_is_lost_with_its_reason(kit: Kit) -> None:
    facts = facts_of(kit, "crab", a_pair(kit, Slip.CHIPPED))
    assert facts.lost == [Lost(MistakeKind.BROKEN, "chipped")]


def test_a_lens_set_aside_by_the_check_has_the_check_s_cause(kit: Kit) -> None:
    facts = facts_of(kit, "crab", a_pair(kit, Slip.SPHERE_SIGN))
    assert Lost(MistakeKind.SET_ASIDE, "sphere_sign") in facts.lost


def test_waiting_for_the_supervisor_is_not_time_on_the_step(demo: Kit) -> None:
    facts = facts_of(demo, "turtle", shipped("09-board-out-of-reach"))
    (waited,) = (done for done in facts.finished if done.step == WAITING)
    assert waited.seconds > 900.0
    assert all(done.seconds < 200.0 for done in facts.finished if done.step != WAITING)


def test_the_night_is_no_time_on_a_step_and_a_clock_set_back_is_counted(demo: Kit) -> None:
    events = a_pair(demo)
    middle = len(events) - 12
    evening, morning = events[middle - 1].at, events[middle].at
    opened = DayOpened(at=evening + 50_000.0, date="2026-11-03")
    facts = facts_of(demo, "heron", [*events[:middle], opened])
    assert sum(done.seconds for done in facts.finished) < 1000.0
    back = [*events[:middle], *(_earlier(event, 100.0) for event in events[middle:])]
    assert morning - 100.0 < evening
    assert facts_of(demo, "heron", back).clock_set_back == 1


def _earlier(event: Event, seconds: float) -> Event:
    assert isinstance(event, Answered)
    return Answered(at=event.at - seconds, step=event.step, field=event.field, text=event.text)


def test_a_lens_set_aside_by_a_slip_of_the_finger_and_taken_back_is_not_lost(kit: Kit) -> None:
    events = a_pair(kit, Slip.SPHERE_SIGN)
    looked = next(n for n, e in enumerate(events) if isinstance(e, Answered) and e.step == "verdict")
    until, back = events[: looked + 1], TakenBack(at=events[looked].at)
    lost = [Lost(MistakeKind.SET_ASIDE, "sphere_sign")]
    assert facts_of(kit, "heron", until).lost == lost
    assert facts_of(kit, "heron", [*until, back]).lost == []
    assert facts_of(kit, "heron", [*until, back, events[looked]]).lost == lost


@pytest.mark.parametrize(
    ("whole", "how"), [("-", MistakeKind.BROKEN), ("+", MistakeKind.SET_ASIDE)], ids=("broken", "whole")
)
def test_a_cut_lens_of_a_pair_given_up_is_lost(kit: Kit, whole: str, how: MistakeKind) -> None:
    events = a_pair(kit)
    cut = next(n for n, e in enumerate(events) if isinstance(e, Answered) and e.step == "trim")
    at = events[cut].at
    facts = facts_of(
        kit,
        "heron",
        [
            *events[:cut],
            HelpAsked(at=at),
            SupervisorAnswered(at=at, yes=False, code=kit.supervisor_codes[0]),
            Answered(at=at, step="account", field="whole", text=whole),
        ],
    )
    assert facts.lost == [Lost(how, GIVEN_UP)]
    assert [ended.outcome for ended in facts.ended] == ["abandoned"]


def test_a_session_of_another_kit_is_noticed(demo: Kit, other_kit: Kit) -> None:
    assert facts_of(other_kit, "heron", a_pair(demo, seed=3)).misfits > 0
