"""Every recorded session of the clinic ends and goes wrong as its list says; every event has words."""

from pathlib import Path
from typing import Any, get_args

import msgspec
import pytest
from recorded import an_order, begun, written

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.faults import CauseCode
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import parse_power
from assistant.replay.listing import bench_files, rows
from assistant.replay.mistakes import Mistake, MistakeKind
from assistant.replay.moments import moments
from assistant.replay.opening import open_session
from assistant.replay.pace import LEAST_VISITS, StepTimes, spread, step_times
from assistant.replay.viewing import Viewing
from assistant.replay.wording import happened, helper_sign, lasting, mistake_words, mistakes_words
from assistant.workflow.checking import PAIR_CODES
from assistant.workflow.events import Answered, DayOpened, Event, Room, Source

SHIPPED = Path(__file__).parents[2] / "demo_sessions"
R, L = Eye.RIGHT, Eye.LEFT
ENDS: dict[str, tuple[str, list[tuple[str, Eye | None]]]] = {
    "01-smooth-pair": ("handed over", []),
    "02-wrong-pocket": ("handed over", [("check_number_wrong", R)]),
    "03-slot-on-centre-line": ("handed over", [("slot_on_centre_line", L)]),
    "04-fifteen-for-fifty": ("handed over", [("scale_wrong", R)]),
    "05-pin-too-short": ("handed over", [("pin_short", R)]),
    "06-lenses-swapped": ("handed over", [("lenses_swapped", R), ("lenses_swapped", L)]),
    "07-substitute-granted": ("handed over", []),
    "08-power-cut": ("handed over", []),
    "09-board-out-of-reach": ("handed over", []),
    "10-marked-face-down": ("handed over", [("face_down", R)]),
    "11-lens-in-the-wrong-pocket": ("handed over", [("wrong_lens", R), ("wrong_lens", R), ("set_aside", R)]),
    "12-taken-back": ("handed over", [("taken_back", R)]),
    "13-learner-s-morning": ("5 handed over, sent back", [("turned_in_rim", L), ("pin_long", R)]),
}


@pytest.mark.parametrize("name", ENDS)
def test_a_session_s_outcome_and_causes(name: str) -> None:
    opened = open_session(SHIPPED / f"{name}.jsonl")
    outcome, causes = ENDS[name]
    assert [row.outcome for row in rows(opened)] == [outcome]
    assert [(found.code, found.eye) for moment in opened.timeline for found in moment.mistakes] == causes


@pytest.mark.parametrize("file", sorted(SHIPPED.glob("*.jsonl")), ids=lambda file: file.stem)
def test_every_moment_has_words(file: Path) -> None:
    for moment in open_session(file).timeline:
        assert happened(moment.event)
        assert len(mistakes_words(moment)) == len(moment.mistakes)
        assert not any(words.startswith("(") for words in mistakes_words(moment))


def test_every_kind_of_event_has_words() -> None:
    for kind in get_args(Event):
        assert happened(_made(kind)), kind


def _made(kind: type[Event]) -> Event:
    """An event of this kind, its fields by their types."""
    eye = EyeOrder(parse_power("-1.00"))
    given = {
        "order": Order(eye, eye, pd_mm=62.0, case="1"),
        "numbers": ("12", "34"),
        "room": Room(next(iter(Room))),
        "elsewhere": {},
        "yes": True,
        "pocket": 1,
        "count": 1,
    }
    named = [field.name for field in msgspec.structs.fields(kind) if field.required]
    values: dict[str, Any] = {name: given.get(name, 0.0 if name == "at" else "x") for name in named}
    return kind(**values)


def test_a_supervisor_s_code_is_not_written_out() -> None:
    assert "4071" not in happened(Answered(at=0.0, step="supervisor", field="code", text="4071"))


def test_a_spoken_entry_says_what_was_heard() -> None:
    event = Answered(
        at=0.0, step="mark", field="scale", text="50", source=Source.VOICE, heard="fifty", clip="7.flac"
    )
    assert happened(event) == "scale: said “fifty”, taken as 50 (clip 7.flac)"


def test_every_cause_the_check_can_name_has_words(demo: Kit) -> None:
    (moment,) = moments(demo, [DayOpened(at=0.0, date="2026-11-02")])
    for code in (*(code.value for code in CauseCode), *PAIR_CODES):
        words = mistake_words(Mistake(MistakeKind.FAILED, code), moment.after)
        assert code not in words, code


def test_times_of_the_steps(demo: Kit) -> None:
    opened = open_session(SHIPPED / "01-smooth-pair.jsonl")
    times = step_times(opened.timeline)
    assert len(times["cut"]) == 2
    assert sum(sum(spent) for spent in times.values()) == pytest.approx(rows(opened)[0].seconds)
    others: list[StepTimes] = [{"cut": (10.0, 20.0)}, {"cut": (30.0,), "mark": (5.0,)}]
    found = spread("cut", others)
    assert found is not None
    assert (found.visits, found.low_s, found.median_s, found.high_s) == (3, 15.0, 20.0, 25.0)
    assert spread("mark", others) is None
    assert LEAST_VISITS == 3


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.0, "0.0 s"),
        (9.94, "9.9 s"),
        (24.4, "24 s"),
        (59.7, "1 min 00 s"),
        (725.0, "12 min 05 s"),
        (7380.0, "2 h 03 min"),
    ],
)
def test_lengths_of_time(seconds: float, words: str) -> None:
    assert lasting(seconds) == words


def test_helpers_go_by_their_picture() -> None:
    assert helper_sign(None) == "nobody yet"
    assert helper_sign(2).endswith("(2)")
    assert helper_sign(12) == "helper 12"


def test_a_record_of_two_days_has_a_row_for_each_with_its_date(demo: Kit, tmp_path: Path) -> None:
    turns = begun(demo, 1)
    turns.make(an_order())
    first = len(turns.events)
    turns.at += 86400.0
    turns.send(DayOpened(at=turns.at, date="2026-11-03"))
    turns.make(an_order("-1.00/-0.75x90", "-1.25/-0.50x80", "202"))
    (tmp_path / "heron").mkdir()
    path = written(tmp_path / "heron" / "record.jsonl", turns.events)
    (tmp_path / "progress.jsonl").write_text("{}\n")
    assert bench_files(tmp_path) == [path]
    found = rows(open_session(path))
    assert [row.name for row in found] == ["heron 2026-11-02", "heron 2026-11-03"]
    assert [row.outcome for row in found] == ["handed over", "handed over"]
    assert all(300.0 < row.seconds < 1200.0 for row in found)
    later = Viewing.of(found[1], (), None, None)
    assert later.place == first
    assert not later.step(-1)
