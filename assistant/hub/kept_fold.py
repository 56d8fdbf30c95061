"""The fold as it stood, on disk beside the database, so that a board that starts again need not fold a season.

It is a copy of a copy. Where anything does not fit (another program or kit, other lines, a torn file, a file
that others may write) it is passed over, and everything is folded from the lines.
"""

import hashlib
import io
import os
import pickle
import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from assistant.hub.ledger import Ledger
from assistant.hub.private_file import write_private
from assistant.hub.store import Store
from assistant.hub.story import Story
from assistant.journal.codec import hash_of
from assistant.kit.profile import Kit
from assistant.optics.patterns import AxisError

ROOMS: Final = ("optics", "kit", "workflow", "journal", "hub")
"""Whose code makes the fold."""
_MARK_BYTES: Final = 32


@dataclass(frozen=True, slots=True)
class KeptBench:
    story: Story
    hash: str
    """Of the last line folded."""
    offset_s: float


@dataclass(frozen=True, slots=True)
class KeptFold:
    benches: dict[str, KeptBench]
    ledger: Ledger
    errors: tuple[AxisError, ...]


def keep(store: Store, kit: Kit, kit_mark: str, fold: KeptFold) -> None:
    """Write it whole or not at all, for nobody else to read. Raises `OSError`."""
    path = store.fold_path
    if path is None:
        return
    buffer = io.BytesIO()
    _Pickler(buffer, kit).dump(fold)
    body = buffer.getvalue()
    write_private(path, _program(kit_mark) + hashlib.sha256(body).digest() + body)


def kept(store: Store, kit: Kit, kit_mark: str) -> KeptFold | None:
    """What this very program kept of the lines that are stored; None where there is nothing to go by."""
    body = None if store.fold_path is None else _body(store.fold_path, kit_mark)
    if body is None:
        return None
    fold: KeptFold = _Unpickler(io.BytesIO(body), kit).load()
    return fold if all(_is_of(store, one) for one in fold.benches.values()) else None


def _body(path: Path, kit_mark: str) -> bytes | None:
    try:
        own, data = path.stat(), path.read_bytes()
    except OSError:
        return None  # no fold was kept, or none that can be read: the lines tell all
    body = data[2 * _MARK_BYTES :]
    ours = own.st_uid == os.getuid() and not own.st_mode & 0o022
    whole = data[: 2 * _MARK_BYTES] == _program(kit_mark) + hashlib.sha256(body).digest()
    return body if ours and whole else None


def _is_of(store: Store, one: KeptBench) -> bool:
    """Whether the last line of this fold is stored as it was."""
    story = one.story
    last = store.between(story.name, story.seq, story.seq)
    return story.seq == 0 or [hash_of(data) for data in last] == [one.hash]


def _program(kit_mark: str) -> bytes:
    """A mark of everything that the kept form depends on."""
    mark = hashlib.sha256(f"{kit_mark} {sys.version} {np.__version__}".encode())
    for room in ROOMS:
        _read_into(mark.update, files("assistant").joinpath(room))
    return mark.digest()


def _read_into(update: Callable[[bytes], None], folder: Traversable) -> None:
    for part in sorted(folder.iterdir(), key=lambda one: one.name):
        if part.is_dir() and part.name != "__pycache__":
            _read_into(update, part)
        elif part.name.endswith((".py", ".toml", ".csv")):
            update(part.name.encode() + part.read_bytes())


class _Pickler(pickle.Pickler):
    """The kit is not written but named: what is read back belongs to the kit of the program that reads."""

    def __init__(self, file: io.BytesIO, kit: Kit) -> None:
        super().__init__(file, protocol=5)
        self._kit = kit

    def persistent_id(self, obj: Any) -> str | None:
        return "kit" if obj is self._kit else "bank" if obj is self._kit.bank else None

    def reducer_override(self, obj: Any) -> Any:
        if isinstance(obj, MappingProxyType):
            return _proxy, (dict(obj),)
        if isinstance(obj, np.ndarray):
            return _array, (obj.dtype.str, obj.shape, obj.tobytes(), obj.flags.writeable)
        return NotImplemented


class _Unpickler(pickle.Unpickler):
    def __init__(self, file: io.BytesIO, kit: Kit) -> None:
        super().__init__(file)
        self._kit = kit

    def persistent_load(self, pid: str) -> object:
        return self._kit if pid == "kit" else self._kit.bank


def _proxy(mapping: dict[Any, Any]) -> MappingProxyType[Any, Any]:
    """The type itself has no name to be found by."""
    return MappingProxyType(mapping)


def _array(kind: str, shape: tuple[int, ...], data: bytes, writeable: bool) -> npt.NDArray[Any]:
    """Read-only where it was."""
    array = np.frombuffer(data, dtype=kind).reshape(shape).copy()
    array.flags.writeable = writeable
    return array
