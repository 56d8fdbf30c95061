"""Lines in: however they come, the hub's fold is the bench's own; what does not follow changes nothing."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sql
from clinics import Clock
from hypothesis import given, settings
from hypothesis import strategies as st
from records import Recorded, folded
from served import record, upload

from assistant.hub.hub import Hub
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import Upload
from assistant.hub.store import Store, StoreError
from assistant.hub.story import Story
from assistant.hub.tables import LINES
from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.events import EVENTS
from assistant.kit.profile import Kit
from assistant.workflow.events import Event

NOW = 1_793_700_000.0
Database = Path | str


def new_hub(database: Database, kit: Kit) -> Hub:
    return Hub(kit, Store(database), lambda: NOW)


@pytest.fixture
def hub(database: Database, demo: Kit) -> Iterator[Hub]:
    made = new_hub(database, demo)
    yield made
    made._store.close()


def sent(hub: Hub, bench: str, lines: list[str], first: int = 1, last: int | None = None) -> int:
    """Send lines `first` to `last` of a record; returns what the hub wants next."""
    end = len(lines) if last is None else last
    part = Upload(first=first, lines=lines[first - 1 : end], have=len(lines), now=NOW, kit=hub.mark)
    return hub.upload(bench, part).next


def events_of(lines: list[str]) -> list[Event]:
    previous, events = FIRST_PREVIOUS, list[Event]()
    for seq, text in enumerate(lines, 1):
        raw = text.encode() + b"\n"
        events.append(EVENTS.decode(raw, seq, previous).event)
        previous = hash_of(raw)
    return events


def same(one: Story, other: Story) -> bool:
    return (one.bench, one.seq, one.tries, one.verdict) == (
        other.bench,
        other.seq,
        other.tries,
        other.verdict,
    )


def test_every_demonstration_session_folds_as_at_its_bench(hub: Hub, demo: Kit) -> None:
    for name in ("01-smooth-pair", "03-slot-on-centre-line", "09-board-out-of-reach", "13-learner-s-morning"):
        lines = record(name)
        bench = re.search(r'"bench":"([^"]+)"', lines[0])
        assert bench is not None
        if bench[1] in hub.stories:
            hub.forget(bench[1])
        for first in range(1, len(lines) + 1, 50):
            sent(hub, bench[1], lines, first, first + 49)
        assert hub.stories[bench[1]].bench == folded(demo, events_of(lines))


def test_lines_sent_twice_are_taken_once(hub: Hub) -> None:
    lines = record("01-smooth-pair")
    assert [sent(hub, "heron", lines) for _ in range(3)] == [42, 42, 42]
    once = hub.stories["heron"]
    sent(hub, "heron", lines, 17, 23)
    assert same(hub.stories["heron"], once)
    assert once.seq == 41


def test_lines_out_of_order_are_asked_for(hub: Hub) -> None:
    lines = record("01-smooth-pair")
    assert sent(hub, "heron", lines, 11, 20) == 1
    assert hub.stories["heron"].seq == 0
    assert sent(hub, "heron", lines, 1, 10) == 11
    assert sent(hub, "heron", lines, 11, 20) == 21


@given(st.lists(st.tuples(st.integers(1, 41), st.integers(0, 41)), max_size=12))
@settings(max_examples=25, deadline=None)
def test_any_pieces_in_any_order_come_to_the_same(demo: Kit, pieces: list[tuple[int, int]]) -> None:
    """Duplicated, overlapping and reordered; at last the whole."""
    lines = record("01-smooth-pair")
    hub = new_hub("sqlite://", demo)
    for first, count in pieces:
        sent(hub, "heron", lines, first, min(41, first + count))
        assert hub.stories["heron"].seq <= 41
    assert sent(hub, "heron", lines) == 42
    whole = new_hub("sqlite://", demo)
    sent(whole, "heron", lines)
    assert same(hub.stories["heron"], whole.stories["heron"])
    assert hub.bank.ledger.there.tolist() == whole.bank.ledger.there.tolist()


def test_a_restart_finds_everything(database: Database, demo: Kit) -> None:
    lines = record("01-smooth-pair")
    first = new_hub(database, demo)
    sent(first, "heron", lines, 1, 30)
    first._store.close()
    again = new_hub(database, demo)
    assert same(again.stories["heron"], first.stories["heron"])
    assert sent(again, "heron", lines, 31) == 42
    again._store.close()


def test_a_copy_damaged_on_the_disk_is_said_with_whose_it_is_and_what_to_do(
    database: Database, demo: Kit
) -> None:
    first = new_hub(database, demo)
    sent(first, "heron", record("01-smooth-pair"))
    with first._store._engine.begin() as connection:
        connection.execute(sql.update(LINES).where(LINES.c.seq == 5).values(data=b"torn\n"))
    first._store.close()
    with pytest.raises(StoreError, match=r"bench heron's record: line 5 .*away and pair the benches again"):
        new_hub(database, demo)


def test_the_fold_deleted_is_rebuilt_from_the_records(tmp_path: Path, demo: Kit) -> None:
    records = {"heron": Recorded("heron", demo), "crab": Recorded("crab", demo)}
    for one in records.values():
        one.order()
        one.until("cut")
    first = new_hub(tmp_path / "a.db", demo)
    for name, one in records.items():
        sent(first, name, one.lines)
    anew = new_hub(tmp_path / "b.db", demo)
    for name, one in records.items():
        assert sent(anew, name, one.lines, len(one.lines) + 1) == 1  # it asks for the whole record
        sent(anew, name, one.lines)
    assert all(same(anew.stories[name], first.stories[name]) for name in records)
    assert anew.view().benches == first.view().benches
    assert anew.view().today == first.view().today


def test_one_bench_forgotten_leaves_the_others(hub: Hub, demo: Kit) -> None:
    heron, crab = Recorded("heron", demo), Recorded("crab", demo)
    for one in (heron, crab):
        one.order()
        one.until("hand_over")
        sent(hub, one.name, one.lines)
    before = hub.view()
    hub.forget("heron")
    assert hub.stories["heron"].seq == 0
    only_crab = demo.bank.count - hub.bank.ledger.there
    assert only_crab.sum() == 2  # two lenses of crab's pair
    assert sent(hub, "heron", heron.lines) == len(heron.lines) + 1
    after = hub.view()
    assert (after.benches, after.today) == (before.benches, before.today)
    with pytest.raises(NotDone, match="no bench turtle"):
        hub.forget("turtle")


def changed(lines: list[str], number: int, old: str, new: str) -> list[str]:
    assert old in lines[number - 1]
    return [*lines[: number - 1], lines[number - 1].replace(old, new), *lines[number:]]


@pytest.mark.parametrize("known", [0, 20])
def test_a_line_not_as_written_stops_the_upload_and_is_shown(hub: Hub, known: int) -> None:
    lines = record("01-smooth-pair")
    sent(hub, "heron", lines, 1, known)
    spoilt = changed(lines, 30, '"heron"', '"crab!"')
    before = hub.stories["heron"] if known else None
    with pytest.raises(NotDone, match="line 30") as refusal:
        sent(hub, "heron", spoilt, known + 1)
    assert refusal.value.status == 400
    assert before is None or same(hub.stories["heron"], before)
    assert hub.stories["heron"].seq == known
    assert "line 30" in hub.view().benches[0].trouble
    sent(hub, "heron", lines, known + 1)
    assert hub.view().benches[0].trouble == ""


def test_a_record_that_lost_lines_or_is_another_is_refused(hub: Hub, demo: Kit) -> None:
    lines = record("01-smooth-pair")
    sent(hub, "heron", lines)
    with pytest.raises(NotDone, match="its record lost lines") as refusal:
        sent(hub, "heron", lines[:20])
    assert refusal.value.status == 409
    other = Recorded("heron", demo)
    other.order()
    other.until("hand_over")
    with pytest.raises(NotDone, match="line 1 of bench heron is not the one the board has"):
        sent(hub, "heron", [*other.lines, *other.lines])
    assert hub.stories["heron"].seq == 41


def test_another_benchs_line_is_refused(hub: Hub) -> None:
    with pytest.raises(NotDone, match="written at another bench") as refusal:
        sent(hub, "crab", record("01-smooth-pair"))
    assert refusal.value.status == 403
    assert hub.stories["crab"].seq == 0


def test_another_kit_is_refused(hub: Hub) -> None:
    with pytest.raises(NotDone, match="works with another kit"):
        hub.upload("heron", upload(record("01-smooth-pair"), "0" * 32))
    assert hub.stories["heron"].seq == 0


def test_more_lines_than_it_has_are_refused(hub: Hub) -> None:
    lines = record("01-smooth-pair")
    with pytest.raises(NotDone, match="says that it has 3"):
        hub.upload("heron", Upload(first=1, lines=lines, have=3, now=NOW, kit=hub.mark))


def test_a_clock_beyond_any_clock_is_refused(hub: Hub, demo: Kit) -> None:
    late = Recorded("heron", demo, at=1e300)
    with pytest.raises(NotDone, match="not as a bench writes it"):
        sent(hub, "heron", late.lines)


def test_a_board_s_clock_set_back_makes_no_bench_present_that_is_gone(database: Database, demo: Kit) -> None:
    clock = Clock(NOW)
    hub = Hub(demo, Store(database), clock)
    sent(hub, "heron", record("01-smooth-pair"))
    assert hub.view().benches[0].connected
    clock.now -= 3600.0
    assert not hub.view().benches[0].connected
    sent(hub, "heron", record("01-smooth-pair"), 42)
    assert hub.view().benches[0].connected
    hub._store.close()


def test_clocks_apart_are_brought_to_the_boards(hub: Hub, demo: Kit) -> None:
    slow = Recorded("heron", demo, at=NOW - 3600.0 - 100.0)
    slow.until("order")
    slow.order()
    slow.until("fetch")
    last = slow.hands.at
    hub.upload("heron", Upload(first=1, lines=slow.lines, have=len(slow.lines), now=last, kit=hub.mark))
    view = hub.view().benches[0]
    assert view.clock_off_s == NOW - last
    assert view.step_since == pytest.approx(NOW)
    assert view.connected
