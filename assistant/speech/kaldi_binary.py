"""Kaldi's binary tokens, numbers, vectors and matrices, read and written byte for byte.

A token is text with a trailing space; a number stands behind a byte that gives its size; a matrix is stored as
float32 ("FM"), or as 16-bit steps between its least and greatest value ("CM2"), which Kaldi expands on loading.
"""

from __future__ import annotations

import struct

import numpy as np
from numpy.typing import NDArray

HEADER = b"\0B"
STEPS_16_BIT = 65535
Floats = NDArray[np.float32]
Integers = NDArray[np.int32]


class ModelFormatError(ValueError):
    """The bytes are not what Kaldi would accept; the message says where and why."""


class Writer:
    """Collects the bytes of one file."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []

    def raw(self, data: bytes) -> None:
        self._parts.append(data)

    def token(self, *names: str) -> None:
        for name in names:
            self.raw(name.encode("ascii") + b" ")

    def integer(self, value: int) -> None:
        self.raw(b"\x04" + struct.pack("<i", value))

    def real(self, value: float) -> None:
        self.raw(b"\x04" + struct.pack("<f", value))

    def double(self, value: float) -> None:
        self.raw(b"\x08" + struct.pack("<d", value))

    def integers(self, values: Integers) -> None:
        self.raw(b"\x04" + struct.pack("<i", len(values)) + values.astype("<i4").tobytes())

    def vector(self, values: Floats) -> None:
        self.token("FV")
        self.integer(len(values))
        self.raw(values.astype("<f4").tobytes())

    def matrix(self, values: Floats) -> None:
        self.token("FM")
        self.integer(values.shape[0])
        self.integer(values.shape[1])
        self.raw(values.astype("<f4").tobytes())

    def matrix_16_bit(self, values: Floats) -> None:
        """Half the size of `matrix`; each value moves by at most range / 131070."""
        low = float(values.min())
        span = float(values.max()) - low
        steps = np.zeros(values.shape) if span == 0 else (values.astype(float) - low) / span * STEPS_16_BIT
        self.token("CM2")
        self.raw(struct.pack("<ffii", low, span, *values.shape))
        self.raw(np.rint(steps).astype("<u2").tobytes())

    def bytes(self) -> bytes:
        return b"".join(self._parts)


class Reader:
    """Takes one file's bytes in order."""

    def __init__(self, data: bytes, name: str) -> None:
        self._data = data
        self._name = name
        self.place = 0

    def fail(self, problem: str) -> ModelFormatError:
        return ModelFormatError(f"{self._name}, byte {self.place}: {problem}")

    def raw(self, count: int) -> bytes:
        end = self.place + count
        if count < 0 or end > len(self._data):
            raise self.fail(
                f"{count} bytes expected, {len(self._data) - self.place} left: the file is cut short"
            )
        taken = self._data[self.place : end]
        self.place = end
        return taken

    def line(self) -> str:
        end = self._data.find(b"\n", self.place)
        if end < 0:
            raise self.fail("a line expected, but no line end follows")
        text = self.raw(end - self.place).decode("ascii")
        self.place += 1
        return text

    def token(self) -> str:
        end = self._data.find(b" ", self.place, self.place + 64)
        if end < 0:
            raise self.fail("a token expected")
        try:
            text = self.raw(end - self.place).decode("ascii")
        except UnicodeDecodeError:
            raise self.fail("a token expected, but it is not ASCII") from None
        self.place += 1
        return text

    def expect(self, *names: str) -> None:
        for name in names:
            before = self.place
            found = self.token()
            if found != name:
                self.place = before
                raise self.fail(f"{name} expected, {found} found")

    def _size_byte(self, *allowed: int) -> int:
        size = self.raw(1)[0]
        if size not in allowed:
            raise self.fail(
                f"a number of {' or '.join(map(str, allowed))} bytes expected, size byte is {size}"
            )
        return size

    def integer(self) -> int:
        self._size_byte(4)
        return int(struct.unpack("<i", self.raw(4))[0])

    def real(self) -> float:
        size = self._size_byte(4, 8)
        return float(struct.unpack("<f" if size == 4 else "<d", self.raw(size))[0])

    def integers(self) -> Integers:
        self._size_byte(4)
        count = int(struct.unpack("<i", self.raw(4))[0])
        return np.frombuffer(self.raw(4 * count), "<i4").astype(np.int32)

    def vector(self) -> Floats:
        self.expect("FV")
        return np.frombuffer(self.raw(4 * self.integer()), "<f4").astype(np.float32)

    def matrix(self) -> Floats:
        kind = self.token()
        if kind == "FM":
            rows, columns = self.integer(), self.integer()
            flat = np.frombuffer(self.raw(4 * rows * columns), "<f4").astype(np.float32)
        elif kind == "CM2":
            low, span, rows, columns = struct.unpack("<ffii", self.raw(16))
            steps = np.frombuffer(self.raw(2 * rows * columns), "<u2")
            flat = np.float32(low) + np.float32(span / STEPS_16_BIT) * steps.astype(np.float32)
        else:
            raise self.fail(f"a matrix FM or CM2 expected, {kind} found")
        return flat.reshape(rows, columns)
