"""The session between record and fold: nothing shows that is not on disk, and what is on disk comes back."""

import errno
from pathlib import Path

import pytest
from hands import Hands, order_of

from assistant.bench.session import RECORD, Session
from assistant.journal.errors import RecordFailed, RecordFull
from assistant.kit.profile import Kit
from assistant.workflow.effects import Say, Signal, Tone
from assistant.workflow.events import Answered, Event
from assistant.workflow.fields import listen_for
from assistant.workflow.present import present


def opened(folder: Path, kit: Kit) -> Session:
    ticks = iter(range(1_762_000_000, 1_763_000_000, 5))
    session, _ = Session.open(folder, "crab", kit, lambda: float(next(ticks)))
    session.begin_day("2026-11-02", [order_of("-2.00/-1.00x30", "-1.50/-0.50x165")])
    return session


def answer(session: Session) -> Event:
    """The right answer to whatever is asked."""
    hands = Hands(session.bench)
    name = hands.listening().field
    step = session.bench.current.step
    return Answered(at=session.now(), step=step, field=name, text=hands.right_answer(step, name))


def test_every_state_comes_back_as_it_was(tmp_path: Path, kit: Kit) -> None:
    with opened(tmp_path, kit) as session:
        while session.bench.current.step != "verdict":
            session.submit(answer(session))
        shown, before = present(session.bench), session.bench
    with opened(tmp_path, kit) as again:
        assert present(again.bench) == shown
        assert again.bench.current == before.current
        assert again.bench.stock == before.stock
        assert again.bench.pair == before.pair


def test_a_full_disk_says_so_and_holds_the_step(
    tmp_path: Path, kit: Kit, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened(tmp_path, kit) as session:
        before = session.bench
        right = answer(session)

        def full(event: Event) -> int:
            raise RecordFull("no room", tmp_path / RECORD) from OSError(errno.ENOSPC, "full")

        with monkeypatch.context() as patched:
            patched.setattr(session._journal, "append", full)
            effects = session.submit(right)
        assert session.bench is before
        assert session.trouble
        assert [e.tone for e in effects if isinstance(e, Signal)] == [Tone.WRONG]
        assert "record-disk-full" in [e.text_id for e in effects if isinstance(e, Say)]
        session.submit(right)
        assert session.trouble == ""
        assert session.bench.current != before.current


def test_a_language_brought_in_the_course_of_the_day_can_be_chosen_at_the_next_start(
    tmp_path: Path, kit: Kit
) -> None:
    with opened(tmp_path, kit) as session:
        while session.bench.current.step != "order":
            session.submit(answer(session))
        lines = session.lines
        session.begin_day("2026-11-02")
        assert session.lines == lines, "the day goes on as it was"
        session.begin_day("2026-11-02", brought={"tq": "sw"})
        assert (session.lines, session.bench.current.step) == (lines + 1, "helper")
        assert session.bench.the_day.languages[-1] == "tq"
        session.begin_day("2026-11-02", brought={"tq": "sw"})
        assert session.lines == lines + 1


def test_a_torn_record_is_taken_up_and_reported(tmp_path: Path, kit: Kit) -> None:
    with opened(tmp_path, kit) as session:
        session.submit(answer(session))
        wanted = listen_for(session.bench)
    record = tmp_path / RECORD
    record.write_bytes(record.read_bytes() + b'{"schema":1,"seq":')
    again, opening = Session.open(tmp_path, "crab", kit, lambda: 1_762_500_000.0)
    with again:
        assert not opening.recovery.clean
        assert listen_for(again.bench) == wanted
        assert "record-mended" in [e.text_id for e in again.taken_up_again(opening) if isinstance(e, Say)]


def test_a_changed_record_is_refused_with_its_line(tmp_path: Path, kit: Kit) -> None:
    with opened(tmp_path, kit) as session:
        session.submit(answer(session))
    record = tmp_path / RECORD
    data = bytearray(record.read_bytes())
    data[40] ^= 1
    record.write_bytes(data)
    with pytest.raises(Exception, match="line 1") as refusal:
        Session.open(tmp_path, "crab", kit, lambda: 1_762_500_000.0)
    assert not isinstance(refusal.value, RecordFailed)
