"""Notes lie beside the session and never in it, keep to their moment, and outlast a power cut."""

import os
import shutil
from pathlib import Path

import pytest

from assistant.journal.errors import RecordFull
from assistant.replay.notes import MOST_CHARACTERS, notes_path, read_notes, write_note
from assistant.replay.opening import Opened, open_session

SHIPPED = Path(__file__).parents[2] / "demo_sessions"


@pytest.fixture
def session(tmp_path: Path) -> Opened:
    return open_session(Path(shutil.copy(SHIPPED / "03-slot-on-centre-line.jsonl", tmp_path)))


def write(session: Opened, line: int, text: str) -> None:
    write_note(session.path, session.lines[line - 1], text, 1_800_000_000.0)


def test_the_last_note_on_a_line_is_the_one_shown(session: Opened) -> None:
    whole = session.path.read_bytes()
    write(session, 5, "first")
    write(session, 37, "  Here it went wrong: “look at the pin”.\n")
    write(session, 5, "second")
    found = read_notes(session.path, session.lines)
    assert found.by_line == {5: "second", 37: "Here it went wrong: “look at the pin”."}
    assert found.troubles == ()
    assert session.path.read_bytes() == whole
    assert notes_path(session.path).read_bytes().count(b"\n") == 3
    write(session, 5, "")
    assert read_notes(session.path, session.lines).by_line.keys() == {37}


def test_no_file_is_no_notes(session: Opened) -> None:
    assert read_notes(session.path, session.lines).by_line == {}
    assert not notes_path(session.path).exists()


def test_a_torn_note_is_named_and_the_next_one_is_whole(session: Opened) -> None:
    write(session, 5, "kept")
    write(session, 6, "torn by a power cut")
    path = notes_path(session.path)
    path.write_bytes(path.read_bytes()[:-25])
    write(session, 7, "after it")
    found = read_notes(session.path, session.lines)
    assert found.by_line == {5: "kept", 7: "after it"}
    assert len(found.troubles) == 1
    assert ".notes, line 2 is no note and is left out" in found.troubles[0]


def test_a_note_of_another_session_is_not_shown(session: Opened, tmp_path: Path) -> None:
    write(session, 20, "meant for this session")
    other = Path(shutil.copy(SHIPPED / "01-smooth-pair.jsonl", tmp_path))
    notes_path(session.path).rename(notes_path(other))
    found = read_notes(other, open_session(other).lines)
    assert found.by_line == {}
    assert "line 1 is on a line 20 that this session has not" in found.troubles[0]


@pytest.mark.parametrize("data", [b"\xff\xfe\n", b"{}\n", b'{"line":"five"}\n', b"\n"])
def test_what_is_no_note_is_named_with_its_line(session: Opened, data: bytes) -> None:
    notes_path(session.path).write_bytes(data)
    (said,) = read_notes(session.path, session.lines).troubles
    assert ".notes, line 1 is no note" in said


def test_a_note_that_is_too_long_is_refused_and_nothing_written(session: Opened) -> None:
    with pytest.raises(ValueError, match="a note of 2001 characters; allowed are 2000"):
        write(session, 5, "x" * (MOST_CHARACTERS + 1))
    assert not notes_path(session.path).exists()


def test_a_full_disk_loses_no_earlier_note(session: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    write(session, 5, "kept")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RecordFull, match="no room on the disk while writing the note"):
        write(session, 6, "lost")
    assert read_notes(session.path, session.lines).by_line == {5: "kept"}
