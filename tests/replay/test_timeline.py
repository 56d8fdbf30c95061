"""A replayed session shows exactly the states that the bench showed, forwards and backwards."""

from dataclasses import replace
from pathlib import Path

import msgspec
import numpy as np
import pytest
from benches import clock
from recorded import a_morning, a_pair

from assistant.bench.session import RECORD, Session
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit
from assistant.kit.profile import Kit
from assistant.practice.slips import Slip
from assistant.replay.opening import open_session
from assistant.replay.timeline import Timeline
from assistant.workflow.effects import Effect, Listen, Show
from assistant.workflow.events import Event, TakenBack
from assistant.workflow.state import Bench

SHIPPED = sorted((Path(__file__).parents[2] / "demo_sessions").glob("*.jsonl"))


def same(one: Bench, other: Bench) -> bool:
    """Equal in everything; stocks by what they hold, since two stocks are never equal."""
    if one.before is not None and other.before is not None:
        if not same(one.before, other.before):
            return False
    elif one.before is not other.before:
        return False
    stocks = (one.stock, other.stock)
    counts = all(
        np.array_equal(*(getattr(stock, name) for stock in stocks)) for name in ("there", "promised", "out")
    )
    rest = [(stock.blanks, stock.broken, stock.handed_over) for stock in stocks]
    plain = [replace(bench, stock=one.stock, kit=one.kit, before=None) for bench in (one, other)]
    return counts and rest[0] == rest[1] and plain[0] == plain[1] and one.kit.name == other.kit.name


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_every_state_is_the_bench_s_own(file: Path, tmp_path: Path) -> None:
    """The events are entered at a real bench, its state kept after each; the record it wrote is replayed."""
    ticks = iter(clock())
    session, _ = Session.open(tmp_path, "crab", demo_kit(), lambda: next(ticks))
    shown: list[tuple[Bench, tuple[Effect, ...]]] = []
    with session:
        for line in read(file, EVENTS).lines:
            effects = session.submit(line.event)
            shown.append((session.bench, effects))
    timeline = open_session(tmp_path / RECORD).timeline
    places = range(len(timeline))
    assert len(shown) == len(timeline) > 30
    for place in (*places, *reversed(places)):
        bench, effects = shown[place]
        assert same(timeline[place].after, bench), place
        assert timeline[place].effects == effects
        assert place == 0 or timeline[place].before is timeline[place - 1].after


def test_states_that_differ_are_told_apart() -> None:
    timeline = open_session(SHIPPED[0]).timeline
    told = [same(timeline[n].after, timeline[n + 1].after) for n in range(len(timeline) - 1)]
    assert not any(told)


def test_the_picture_is_the_one_that_was_shown() -> None:
    for file in SHIPPED:
        for moment in open_session(file).timeline:
            shown = [effect.picture for effect in moment.effects if isinstance(effect, Show)]
            assert shown in ([], [moment.picture]), (file.stem, moment.line)


@pytest.mark.parametrize("slip", [None, *Slip])
def test_on_two_kits_a_timeline_never_misfits_its_own_kit(kit: Kit, slip: Slip | None) -> None:
    timeline = Timeline(kit, a_pair(kit, slip))
    assert timeline.misfit_line is None
    assert timeline[len(timeline) - 1].after.closed


def test_a_session_under_another_kit_is_noticed(other_kit: Kit, demo: Kit) -> None:
    events = a_pair(other_kit)
    assert Timeline(demo, events).misfit_line is not None


def test_seconds_on_a_step_add_up_to_the_session() -> None:
    for file in SHIPPED:
        moments = open_session(file).timeline.moments
        spent = sum(moment.step_s or 0.0 for moment in moments if moment.leaves)
        assert spent == pytest.approx(moments[-1].at - moments[0].at), file.stem


def test_a_clock_set_back_gives_no_time_rather_than_a_wrong_one(demo: Kit) -> None:
    events = a_pair(demo)
    late = [*events[:20], *(_earlier(event, 3600.0) for event in events[20:])]
    spent = [moment.step_s for moment in Timeline(demo, late)]
    assert None in spent
    assert all(seconds >= 0.0 for seconds in spent if seconds is not None)


def _earlier(event: Event, seconds: float) -> Event:
    return msgspec.structs.replace(event, at=event.at - seconds)


def test_mistakes_are_found_from_any_place_in_both_directions() -> None:
    timeline = open_session(SHIPPED[10]).timeline
    places = timeline.mistake_places
    assert len(places) == 2
    for place in range(-1, len(timeline)):
        assert timeline.next_mistake(place) == min((p for p in places if p > place), default=None)
        assert timeline.previous_mistake(place) == max((p for p in places if p < place), default=None)


def test_a_record_of_two_days_has_two_days(demo: Kit) -> None:
    first, second = a_pair(demo), a_morning(demo, 3, 1)
    timeline = Timeline(demo, [*first, *second])
    assert [(day.first, day.last) for day in timeline.days] == [
        (0, len(first) - 1),
        (len(first), len(first) + len(second) - 1),
    ]
    assert Timeline(demo, []).days == ()
    assert Timeline(demo, first[1:]).days[0].date == ""


def test_taking_a_verdict_back_is_not_a_second_verdict(demo: Kit) -> None:
    events = a_pair(demo, Slip.LENSES_SWAPPED)
    timeline = Timeline(demo, events)
    judged = next(n for n, moment in enumerate(timeline) if moment.verdict is not None)
    looked = events[: judged + 2]
    again = Timeline(demo, [*looked, TakenBack(at=looked[-1].at + 1.0)])
    assert again[len(again) - 1].after.current.step == "verdict"
    assert [moment.line for moment in again if moment.verdict is not None] == [judged + 1]


def test_what_is_listened_for_is_answered_next() -> None:
    for file in SHIPPED:
        wanted: Listen | None = None
        for moment in open_session(file).timeline:
            if moment.entry is not None:
                assert wanted is not None
                assert (moment.entry.step, moment.entry.field) == (wanted.step, wanted.field)
            heard = [effect for effect in moment.effects if isinstance(effect, Listen)]
            wanted = heard[0] if heard else wanted
