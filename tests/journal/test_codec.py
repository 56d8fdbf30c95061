import hashlib
import json
import math

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.journal.codec import FIRST_PREVIOUS, Codec, hash_of
from assistant.journal.errors import Changed, NotWritable, TornTail, Unreadable
from assistant.journal.events import EVENTS
from assistant.journal.upgrade import SCHEMA
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import Power
from assistant.workflow.events import Answered, Event, OrderHandedOver


class Weighed(msgspec.Struct, frozen=True, tag_field="kind", tag="weighed"):
    at: float
    grams: float | None


def test_a_line_is_what_any_other_program_can_check_with_json_and_sha256(session: tuple[Event, ...]) -> None:
    data = EVENTS.encode(session[2], seq=1, bench="heron", previous=FIRST_PREVIOUS)
    fields = json.loads(data)
    assert list(fields) == ["schema", "seq", "at", "bench", "previous", "event", "check"]
    assert data.count(b"\n") == 1
    assert data.endswith(b"}\n")
    covered = data[: data.rindex(b',"check":')]
    assert fields["check"] == hashlib.sha256(covered).hexdigest()[:32]
    assert hash_of(data) == hashlib.sha256(data).hexdigest()[:32]
    assert fields["event"]["text"] == "3"


def test_every_kind_of_event_reads_back(session: tuple[Event, ...]) -> None:
    for seq, event in enumerate(session, 1):
        data = EVENTS.encode(event, seq=seq, bench="crab", previous=FIRST_PREVIOUS)
        line = EVENTS.decode(data, seq, FIRST_PREVIOUS)
        assert line.event == event
        assert (line.schema, line.seq, line.at, line.bench) == (SCHEMA, seq, event.at, "crab")


@settings(deadline=None)
@given(text=st.text(), at=st.floats(allow_nan=False, allow_infinity=False), bench=st.text())
def test_any_text_stays_on_one_line_and_reads_back(text: str, at: float, bench: str) -> None:
    event = Answered(at=at, step="read", field="sphere", text=text)
    try:
        data = EVENTS.encode(event, seq=3, bench=bench, previous=FIRST_PREVIOUS)
    except NotWritable:
        with pytest.raises(UnicodeEncodeError):
            (text + bench).encode()
        return
    assert data.find(b"\n") == len(data) - 1
    assert EVENTS.decode(data, 3, FIRST_PREVIOUS).event == event


def test_half_a_character_pair_is_refused_not_lost() -> None:
    with pytest.raises(NotWritable, match="cannot be written"):
        EVENTS.encode(
            Answered(at=1.0, step="read", field="sphere", text="\ud800"), seq=1, bench="b", previous="0"
        )


@pytest.mark.parametrize("figure", [math.nan, math.inf])
def test_a_figure_json_does_not_have_is_refused_before_it_is_written(figure: float) -> None:
    codec: Codec[Weighed] = Codec(Weighed)
    with pytest.raises(NotWritable, match="read back"):
        codec.encode(Weighed(1.0, figure), seq=1, bench="b", previous="0")
    with pytest.raises(NotWritable):
        codec.encode(Weighed(figure, 2.0), seq=1, bench="b", previous="0")


def test_an_order_that_would_not_read_back_is_refused() -> None:
    order = Order(EyeOrder(Power(1.0)), EyeOrder(Power(1.0)), pd_mm=math.nan)
    with pytest.raises(NotWritable):
        EVENTS.encode(OrderHandedOver(at=1.0, order=order), seq=1, bench="b", previous="0")


def test_every_cut_within_a_line_is_a_torn_tail(session: tuple[Event, ...]) -> None:
    data = EVENTS.encode(session[1], seq=9, bench="heron", previous=FIRST_PREVIOUS)
    for size in range(len(data)):
        with pytest.raises(TornTail, match="line 9 was never finished"):
            EVENTS.decode(data[:size], 9, FIRST_PREVIOUS)


def test_a_line_out_of_its_place_is_named() -> None:
    event = Answered(at=1.0, step="read", field="sphere", text="+1")
    data = EVENTS.encode(event, seq=4, bench="heron", previous="a" * 32)
    with pytest.raises(Changed, match="line 3 is numbered 4"):
        EVENTS.decode(data, 3, "a" * 32)
    with pytest.raises(Changed, match="line 3 is not the one that line 4 was written after") as caught:
        EVENTS.decode(data, 4, "b" * 32)
    assert caught.value.line_number == 3


def test_a_whole_line_with_an_unknown_event_is_not_called_changed() -> None:
    other: Codec[Weighed] = Codec(Weighed)
    data = other.encode(Weighed(1.0, 2.0), seq=1, bench="heron", previous=FIRST_PREVIOUS)
    with pytest.raises(Unreadable, match="line 1 is whole but holds no known event"):
        EVENTS.decode(data, 1, FIRST_PREVIOUS)


def test_an_impossible_power_in_a_whole_line_is_named() -> None:
    order = Order(EyeOrder(Power(12.0)), EyeOrder(Power(1.0)), pd_mm=60.0)
    data = EVENTS.encode(OrderHandedOver(at=1.0, order=order), seq=1, bench="b", previous=FIRST_PREVIOUS)
    body = data[: data.rindex(b',"check":')].replace(b'"sphere":12.0', b'"sphere":52.0')
    forged = body + b',"check":"' + hash_of(body).encode() + b'"}\n'
    with pytest.raises(Unreadable, match="sphere is 52 D; allowed is -40 to 40 D"):
        EVENTS.decode(forged, 1, FIRST_PREVIOUS)


def test_a_whole_line_with_another_frame_is_named() -> None:
    body = b'{"schema":1,"seq":1'
    data = body + b',"check":"' + hash_of(body).encode() + b'"}\n'
    with pytest.raises(Unreadable, match="line 1 is whole but has another frame"):
        EVENTS.decode(data, 1, FIRST_PREVIOUS)
