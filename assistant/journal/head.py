"""How far the record had got, kept beside it in `<record>.head`. Pure.

Cut a chained file exactly between two lines and what is left is a whole, valid record: the loss would be
silent. So after each line is safely on disk its number, the record's size and the line's hash are written
here. The head is not forced to disk with each event (that would double the cost): after a power cut it may
lie behind the record, never ahead of it, so a record shorter than its head has lost lines.
"""

from dataclasses import dataclass

from assistant.journal.codec import FIRST_PREVIOUS, HASH_DIGITS, hash_of


@dataclass(frozen=True, slots=True)
class Head:
    """The last line known to be on disk: its number, the record's size in bytes after it, its hash."""

    seq: int = 0
    size: int = 0
    hash: str = FIRST_PREVIOUS

    def encode(self) -> bytes:
        """Always of one length, so that a new head overwrites the old in place."""
        body = f"{self.seq:012d} {self.size:015d} {self.hash}"
        return f"{body} {hash_of(body.encode())}\n".encode()


HEAD_LENGTH = len(Head().encode())


def decode_head(data: bytes) -> Head | None:
    """The head that `data` holds; None if any byte of it is not as written."""
    body = data[: HEAD_LENGTH - HASH_DIGITS - 2]
    if data != body + f" {hash_of(body)}\n".encode():
        return None
    seq, size, last = body.decode("ascii").split(" ")
    return Head(int(seq), int(size), last)
