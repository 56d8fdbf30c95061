"""A session file that is damaged, torn, older or of another kit: what can be shown is shown, the rest is named."""

import shutil
from pathlib import Path

import pytest
from recorded import a_pair, written

from assistant.bench.session import Session
from assistant.journal.codec import Codec
from assistant.journal.errors import RecordFailed
from assistant.journal.recovery import head_path
from assistant.journal.upgrade import SCHEMA, UPGRADES, Plain
from assistant.kit.fields import KitError
from assistant.kit.profile import Kit
from assistant.replay.listing import read_rows, session_files
from assistant.replay.opening import open_session
from assistant.workflow.events import Event

SHIPPED = Path(__file__).parents[2] / "demo_sessions"
OLDER = Path(__file__).parents[1] / "practice" / "schema_1"


@pytest.fixture
def session(tmp_path: Path) -> Path:
    return Path(shutil.copy(SHIPPED / "01-smooth-pair.jsonl", tmp_path / "smooth.jsonl"))


def test_a_whole_session_has_no_troubles(session: Path) -> None:
    opened = open_session(session)
    assert opened.troubles == ()
    assert opened.bench == "heron"
    assert len(opened.timeline) == len(opened.lines) == len(session.read_bytes().splitlines())
    assert opened.kit_from == "the demonstration kit"


@pytest.mark.parametrize("line", [1, 2, 20, 41])
def test_a_damaged_line_is_named_and_the_lines_before_it_shown(session: Path, line: int) -> None:
    lines = session.read_bytes().splitlines(keepends=True)
    lines[line - 1] = lines[line - 1].replace(b'"at"', b'"At"', 1)
    session.write_bytes(b"".join(lines))
    opened = open_session(session)
    assert len(opened.timeline) == line - 1
    (said,) = opened.troubles
    assert said.startswith(f"line {line} is not as it was written")
    assert f"the {line - 1} lines before it" in said if line > 1 else "no line before it" in said


def test_any_byte_changed_never_raises(session: Path) -> None:
    whole = session.read_bytes()
    for place in range(0, len(whole), 97):
        session.write_bytes(whole[:place] + bytes([whole[place] ^ 0x15]) + whole[place + 1 :])
        opened = open_session(session)
        assert opened.troubles, place
        assert len(opened.timeline) == whole[:place].count(b"\n")


def test_a_torn_last_line_is_named(session: Path) -> None:
    whole = session.read_bytes()
    session.write_bytes(whole[:-30])
    opened = open_session(session)
    assert len(opened.timeline) == whole.count(b"\n") - 1
    assert opened.troubles[0].startswith(f"line {whole.count(bytes([10]))} was never finished")


def test_lines_lost_at_the_end_are_counted(tmp_path: Path, demo: Kit) -> None:
    session, _ = Session.open(tmp_path, "heron", demo, lambda: 0.0)
    with session:
        for event in a_pair(demo)[:9]:
            session.submit(event)
    record = tmp_path / "record.jsonl"
    assert head_path(record).exists()
    record.write_bytes(b"".join(record.read_bytes().splitlines(keepends=True)[:6]))
    opened = open_session(record)
    assert len(opened.timeline) == 6
    assert opened.troubles == ("3 lines that were once written are gone from the end",)


@pytest.mark.parametrize("data", [b"", b"\x00" * 50, b"no session at all\n", b'{"schema":1}\n'])
def test_what_is_no_session_says_so(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "odd.jsonl"
    path.write_bytes(data)
    opened = open_session(path)
    assert len(opened.timeline) == 0
    assert opened.timeline.days == ()
    assert len(opened.troubles) == 1
    assert "line" in opened.troubles[0]


def test_no_file_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(RecordFailed, match=r"gone\.jsonl: the disk refused while reading the record"):
        open_session(tmp_path / "gone.jsonl")


def test_an_older_schema_is_brought_up_to_date_and_said(session: Path) -> None:
    """The events as they might be some schemas on."""

    def up(event: Plain) -> Plain:
        if event["kind"] == "day_opened":
            event["date"] = event["date"].replace("2026", "2027")
        return event

    found = open_session(session).lines[0].schema
    newer: Codec[Event] = Codec(Event, schema=SCHEMA + 1, upgrades={**UPGRADES, SCHEMA: up})
    opened = open_session(session, codec=newer)
    assert len(opened.timeline) == len(open_session(session).timeline)
    assert opened.timeline.days[0].date == "2027-11-02"
    assert opened.troubles == ()
    assert opened.remarks == (f"lines of the older schema {found} were brought up to date to be shown",)


def test_a_newer_schema_is_named_with_its_line(session: Path) -> None:
    found = open_session(session).lines[0].schema
    older: Codec[Event] = Codec(Event, schema=found - 1, upgrades={})
    opened = open_session(session, codec=older)
    assert len(opened.timeline) == 0
    assert opened.troubles[0].startswith(
        f"line 1 has schema {found}; this program reads schemas up to {found - 1}"
    )


def test_the_kit_beside_the_sessions_is_taken(tmp_path: Path, other_kit: Kit, other_kit_folder: Path) -> None:
    path = written(tmp_path / "other.jsonl", a_pair(other_kit))
    wrong = open_session(path)
    assert "was made with another kit" in wrong.troubles[0]
    assert open_session(path, other_kit_folder).troubles == ()
    shutil.copytree(other_kit_folder, tmp_path / "kit")
    beside = open_session(path)
    assert beside.troubles == ()
    assert beside.timeline.kit.name == other_kit.name


def test_a_kit_that_cannot_be_used_is_refused(session: Path, tmp_path: Path) -> None:
    with pytest.raises(KitError, match=r"kit\.toml"):
        open_session(session, tmp_path / "nothing")


def test_opening_writes_nothing(session: Path) -> None:
    before = {path: path.read_bytes() for path in session.parent.iterdir()}
    open_session(session)
    assert {path: path.read_bytes() for path in session.parent.iterdir()} == before


def test_a_broken_kit_beside_one_session_does_not_hide_the_others(session: Path) -> None:
    broken = session.parent / "crab"
    (broken / "kit").mkdir(parents=True)
    (broken / "kit" / "kit.toml").write_text("nothing")
    shutil.copy(session, broken / "record.jsonl")
    found = [row for _, rows in read_rows(session_files(session.parent)) for row in rows]
    assert [(row.name, row.outcome) for row in found] == [
        ("crab", "cannot be read"),
        ("smooth", "handed over"),
    ]
    assert "kit.toml" in found[0].troubles[0]


@pytest.mark.parametrize("file", sorted(OLDER.glob("*.jsonl")), ids=lambda file: file.stem)
def test_sessions_of_schema_1_are_shown_as_they_were(file: Path) -> None:
    opened = open_session(file)
    assert opened.troubles == ()
    assert opened.remarks == ("lines of the older schema 1 were brought up to date to be shown",)
    assert len(opened.timeline) == len(file.read_bytes().splitlines())


def test_a_session_is_read_while_its_bench_writes_it(tmp_path: Path, demo: Kit) -> None:
    session, _ = Session.open(tmp_path, "heron", demo, lambda: 0.0)
    with session:
        for number, event in enumerate(a_pair(demo)[:12], 1):
            session.submit(event)
            opened = open_session(tmp_path / "record.jsonl")
            assert (len(opened.timeline), opened.troubles) == (number, ())
