"""The way up, on an invented schema 0: its readings were one text, in schema 1 they are two figures."""

import msgspec
import pytest

from assistant.journal.codec import FIRST_PREVIOUS, Codec, hash_of
from assistant.journal.errors import UnknownSchema
from assistant.journal.reading import read_bytes
from assistant.journal.upgrade import SCHEMA, UPGRADES, NoWayUp, Plain, upgraded


class OldRead(msgspec.Struct, frozen=True, tag_field="kind", tag="read"):
    at: float
    lens: str


class Read(msgspec.Struct, frozen=True, tag_field="kind", tag="read"):
    at: float
    sphere: float
    cylinder: float


class NewRead(msgspec.Struct, frozen=True, tag_field="kind", tag="read"):
    at: float
    sphere: float
    cylinder: float
    by: str


def split_lens(event: Plain) -> Plain:
    sphere, cylinder = event.pop("lens").split("/")
    return event | {"sphere": float(sphere), "cylinder": float(cylinder)}


def add_reader(event: Plain) -> Plain:
    return event | {"by": "unknown"}


OLD: Codec[OldRead] = Codec(OldRead, schema=0)
NOW: Codec[Read] = Codec(Read, schema=1, upgrades={0: split_lens})
NEXT: Codec[NewRead] = Codec(NewRead, schema=2, upgrades={0: split_lens, 1: add_reader})


def test_an_old_line_is_brought_up_to_date_and_still_checked() -> None:
    data = OLD.encode(OldRead(5.0, "-2.00/-0.50"), seq=1, bench="heron", previous=FIRST_PREVIOUS)
    line = NOW.decode(data, 1, FIRST_PREVIOUS)
    assert line.event == Read(5.0, -2.0, -0.5)
    assert line.schema == 0
    assert NEXT.decode(data, 1, FIRST_PREVIOUS).event == NewRead(5.0, -2.0, -0.5, "unknown")


def test_one_record_may_hold_lines_of_several_schemas() -> None:
    first = OLD.encode(OldRead(5.0, "-2.00/-0.50"), seq=1, bench="heron", previous=FIRST_PREVIOUS)
    second = NOW.encode(Read(6.0, 1.0, 0.0), seq=2, bench="heron", previous=hash_of(first))
    third = NEXT.encode(NewRead(7.0, 1.0, 0.0, "3"), seq=3, bench="heron", previous=hash_of(second))
    record = first + second + third
    reading = read_bytes(record, None, NEXT)
    assert [line.schema for line in reading.lines] == [0, 1, 2]
    assert reading.lines[-1].event == NewRead(7.0, 1.0, 0.0, "3")
    older = read_bytes(record, None, NOW)
    assert len(older.lines) == 2
    assert isinstance(older.problem, UnknownSchema)
    assert str(older.problem).startswith("line 3 has schema 2; this program reads schemas up to 1")


def test_an_unfinished_newline_of_a_newer_schema_is_not_cut_as_torn() -> None:
    data = NEXT.encode(NewRead(7.0, 1.0, 0.0, "3"), seq=1, bench="heron", previous=FIRST_PREVIOUS)
    reading = read_bytes(data[:-1], None, NOW)
    assert isinstance(reading.problem, UnknownSchema)
    assert not reading.torn


def test_a_gap_on_the_way_up_is_refused() -> None:
    gap: Codec[NewRead] = Codec(NewRead, schema=2, upgrades={1: add_reader})
    data = OLD.encode(OldRead(5.0, "-2.00/-0.50"), seq=1, bench="heron", previous=FIRST_PREVIOUS)
    with pytest.raises(UnknownSchema, match="line 1 has schema 0"):
        gap.decode(data, 1, FIRST_PREVIOUS)


def test_upgrading_leaves_the_event_it_was_given_alone() -> None:
    event: Plain = {"kind": "read", "at": 5.0, "lens": "-2.00/-0.50"}
    upgraded(event, 0, 1, {0: split_lens})
    assert event == {"kind": "read", "at": 5.0, "lens": "-2.00/-0.50"}
    with pytest.raises(NoWayUp):
        upgraded(event, 3, 1, {})


def test_the_program_knows_the_way_up_from_every_schema_it_has_had() -> None:
    assert sorted(UPGRADES) == list(range(1, SCHEMA))
