"""A real session cut and changed at every byte: never a wrong state, never silence."""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from assistant.journal.codec import FIRST_PREVIOUS, hash_of
from assistant.journal.errors import Changed
from assistant.journal.events import EVENTS
from assistant.journal.head import HEAD_LENGTH, Head, decode_head
from assistant.journal.reading import HeadState, Reading, read_bytes
from assistant.workflow.events import Event


@dataclass(frozen=True)
class Written:
    """A record as the bench leaves it, with the head after each line (`heads[0]` before the first)."""

    events: tuple[Event, ...]
    lines: tuple[bytes, ...]
    heads: tuple[Head, ...]

    @property
    def data(self) -> bytes:
        return b"".join(self.lines)

    @property
    def head(self) -> bytes:
        return self.heads[-1].encode()

    def line_at(self, position: int) -> int:
        """The number of the line that byte `position` belongs to."""
        return next(head.seq for head in self.heads if position < head.size)


def write(events: tuple[Event, ...], bench: str = "heron") -> Written:
    lines: list[bytes] = []
    heads = [Head()]
    for event in events:
        last = heads[-1]
        lines.append(EVENTS.encode(event, seq=last.seq + 1, bench=bench, previous=last.hash))
        heads.append(Head(last.seq + 1, last.size + len(lines[-1]), hash_of(lines[-1])))
    return Written(events, tuple(lines), tuple(heads))


@pytest.fixture(scope="module")
def written(session: tuple[Event, ...]) -> Written:
    return write(session)


def silent(reading: Reading[Event]) -> bool:
    """Whether the reading has nothing to report."""
    told = (reading.torn, reading.newline_missing, reading.missing_lines, reading.problem)
    return not any(told) and reading.head_state is HeadState.WHOLE


def require_true_start(reading: Reading[Event], written: Written) -> None:
    """Whatever happened to the bytes, what is read is how the session really began."""
    assert tuple(line.event for line in reading.lines) == written.events[: len(reading.lines)]
    assert reading.head == written.heads[len(reading.lines)]


def damaged(data: bytes, position: int) -> Iterator[bytes]:
    """The record with the byte at `position` flipped, overwritten, taken out, or another put before it."""
    before, byte, after = data[:position], data[position], data[position + 1 :]
    yield before + bytes([byte ^ (1 << position % 8)]) + after
    for other in b" \n\0x0":
        if other != byte:
            yield before + bytes([other]) + after


def test_an_untouched_session_reads_back_whole_and_in_silence(written: Written) -> None:
    reading = read_bytes(written.data, written.head, EVENTS)
    assert silent(reading)
    assert len(reading.lines) == len(written.events)
    require_true_start(reading, written)


def test_cut_at_every_byte(written: Written) -> None:
    for size in range(len(written.data)):
        reading = read_bytes(written.data[:size], written.head, EVENTS)
        require_true_start(reading, written)
        assert not silent(reading), f"cut to {size} bytes in silence"
        assert reading.problem is None
        whole_lines = sum(head.size <= size + 1 for head in written.heads[1:])
        assert len(reading.lines) == whole_lines
        assert reading.missing_lines + whole_lines == len(written.events) or reading.newline_missing
        assert reading.head.size + len(reading.torn) - reading.newline_missing == size


def test_cut_at_every_byte_with_no_head(written: Written) -> None:
    for size in range(len(written.data)):
        reading = read_bytes(written.data[:size], None, EVENTS)
        require_true_start(reading, written)
        assert reading.head_state is HeadState.ABSENT
        assert reading.problem is None


@pytest.mark.parametrize("behind", [1, 2, 5])
def test_power_cut_at_every_byte_while_the_head_lies_behind(written: Written, behind: int) -> None:
    """Lines after the head may or may not be on disk; those up to it are, and nothing is called missing."""
    head = written.heads[-1 - behind]
    for size in range(head.size, len(written.data) + 1):
        reading = read_bytes(written.data[:size], head.encode(), EVENTS)
        require_true_start(reading, written)
        assert reading.problem is None
        assert reading.missing_lines == 0
        assert len(reading.lines) >= head.seq
        assert silent(reading) == any(size == known.size for known in written.heads)


def test_a_power_cut_that_leaves_zeros_is_a_torn_tail(written: Written) -> None:
    """The size was on disk and some blocks were not: zeros at the start, in the middle or at the end."""
    head, last = written.heads[-2], written.lines[-1]
    start = written.data[: head.size]
    tails = [
        bytes(len(last)),
        bytes(50) + last[50:],
        last[:50] + bytes(50) + last[100:],
        last[:50] + bytes(len(last) - 50),
    ]
    for tail in tails:
        reading = read_bytes(start + tail, head.encode(), EVENTS)
        require_true_start(reading, written)
        assert reading.torn == tail
        assert reading.problem is None


def test_changed_at_every_byte_is_found_and_named(written: Written) -> None:
    for position in range(len(written.data)):
        number = written.line_at(position)
        for data in damaged(written.data, position):
            reading = read_bytes(data, written.head, EVENTS)
            assert isinstance(reading.problem, Changed)
            assert reading.problem.line_number == number
            assert f"line {number} " in str(reading.problem)
            assert len(reading.lines) == number - 1
            require_true_start(reading, written)


def test_changed_at_every_byte_with_no_head_is_never_taken_for_true(written: Written) -> None:
    """Without a head a change in the last line cannot always be told from a torn tail; both are reported."""
    for position in range(len(written.data)):
        number = written.line_at(position)
        for data in damaged(written.data, position):
            reading = read_bytes(data, None, EVENTS)
            require_true_start(reading, written)
            assert len(reading.lines) == number - 1
            assert reading.torn or isinstance(reading.problem, Changed)
            assert number == len(written.events) or reading.problem is not None


def test_a_byte_taken_out_anywhere(written: Written) -> None:
    data = written.data
    for position in range(len(data)):
        reading = read_bytes(data[:position] + data[position + 1 :], written.head, EVENTS)
        require_true_start(reading, written)
        assert not silent(reading)
        last_newline = position == len(data) - 1
        assert reading.newline_missing == last_newline
        assert len(reading.lines) == written.line_at(position) - 1 + last_newline


@pytest.mark.parametrize("byte", [b"0", b"\n", b"\0"])
def test_a_byte_put_in_anywhere(written: Written, byte: bytes) -> None:
    data = written.data
    for position in range(len(data)):
        reading = read_bytes(data[:position] + byte + data[position:], written.head, EVENTS)
        require_true_start(reading, written)
        # A newline put in before a newline leaves that line whole, and an empty line after it.
        same = data[position : position + 1] == byte == b"\n"
        assert len(reading.lines) == written.line_at(position) - 1 + same
        assert not silent(reading)
    after = read_bytes(data + byte, written.head, EVENTS)
    assert len(after.lines) == len(written.events)
    assert not silent(after)


def test_lines_taken_out_doubled_or_swapped(written: Written) -> None:
    lines = written.lines
    for index in range(len(lines)):
        out = lines[:index] + lines[index + 1 :]
        doubled = lines[: index + 1] + lines[index:]
        swapped = (*lines[:index], *reversed(lines[index : index + 2]), *lines[index + 2 :])
        for other in (out, doubled, swapped):
            if other == lines:
                continue
            reading = read_bytes(b"".join(other), written.head, EVENTS)
            require_true_start(reading, written)
            assert not silent(reading) or other == doubled


def test_a_line_rewritten_with_a_check_of_its_own_is_named(written: Written) -> None:
    for index in range(len(written.lines)):
        before = written.heads[index]
        forged = EVENTS.encode(written.events[index - 1], seq=index + 1, bench="heron", previous=before.hash)
        data = b"".join((*written.lines[:index], forged, *written.lines[index + 1 :]))
        reading = read_bytes(data, written.head, EVENTS)
        assert isinstance(reading.problem, Changed)
        assert reading.problem.line_number == index + 1
        assert len(reading.lines) == index
        require_true_start(reading, written)


def test_a_whole_record_exchanged_for_another_is_found(written: Written) -> None:
    other = write(written.events, bench="crab")
    reading = read_bytes(other.data, written.head, EVENTS)
    assert isinstance(reading.problem, Changed)
    assert "exchanged for another" in str(reading.problem)


def test_changed_head_is_reported_and_the_record_still_read(written: Written) -> None:
    assert len(written.head) == HEAD_LENGTH
    for position in range(HEAD_LENGTH):
        for head in damaged(written.head, position):
            assert decode_head(head) is None
            reading = read_bytes(written.data, head, EVENTS)
            assert reading.head_state is HeadState.CHANGED
            assert len(reading.lines) == len(written.events)
    for size in range(1, HEAD_LENGTH):
        assert decode_head(written.head[:size]) is None


def test_nothing_yet_is_no_fault() -> None:
    reading = read_bytes(b"", Head().encode(), EVENTS)
    assert silent(reading)
    assert reading.head == Head(0, 0, FIRST_PREVIOUS)


def test_heads_read_back(written: Written) -> None:
    for head in written.heads:
        assert decode_head(head.encode()) == head
