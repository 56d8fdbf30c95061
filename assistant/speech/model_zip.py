"""A model out of a zip file: looked through before anything is written, unpacked beside its place, moved there."""

import shutil
import stat
import tempfile
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path, PurePosixPath

from assistant.speech.kaldi_binary import ModelFormatError
from assistant.speech.other_models import FOLDER, NAME, OWN, make_of

MOST_BYTES = 2_000_000_000
"""Unpacked. The small models take about 0.1 GB, the largest that can be used under 1 GB (from memory)."""
MOST_FILES = 500
BLOCK = 1 << 20
Told = Callable[[int, int], None]
"""Bytes unpacked so far, and of all."""


def import_zip(path: Path, home: Path, told: Told = lambda *_: None) -> Path:
    """Unpack a model into the home folder; its folder there. It is not in use yet.

    Raises ModelFormatError for a file that is no zip, is damaged, would write elsewhere, is too large or holds no
    model that can be used, and where a model of that name is there already; OSError for a full disk. In every one
    of these cases nothing is left behind.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            name, entries = _looked_through(archive, path)
            target = home / FOLDER / name
            if target.exists():
                raise ModelFormatError(f"there is a model {name} in {target.parent} already; delete it first")
            target.parent.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryDirectory(dir=target.parent, prefix=".import-") as draft_folder:
                draft = Path(draft_folder) / name
                _unpack(archive, entries, draft, told)
                make_of(draft)
                draft.rename(target)
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, RuntimeError) as error:
        raise ModelFormatError(f"{path} is damaged or not a zip file ({error})") from error
    return target


Entries = list[tuple[zipfile.ZipInfo, PurePosixPath]]


def _looked_through(archive: zipfile.ZipFile, path: Path) -> tuple[str, Entries]:
    """The name of the model, and each file with its place below the model's folder."""
    infos = [info for info in archive.infolist() if not info.is_dir()]
    if not infos:
        raise ModelFormatError(f"{path} holds no files")
    if len(infos) > MOST_FILES or sum(info.file_size for info in infos) > MOST_BYTES:
        raise ModelFormatError(
            f"{path} would unpack to more than {MOST_FILES} files or {MOST_BYTES / 1e9:.0f} GB"
        )
    places = [(info, _place(info, path)) for info in infos]
    if len({place for _, place in places}) < len(places):
        raise ModelFormatError(f"{path} holds the same file twice")
    tops = {place.parts[0] for _, place in places}
    if len(tops) == 1 and all(len(place.parts) > 1 for _, place in places):
        (name,) = tops
        places = [(info, PurePosixPath(*place.parts[1:])) for info, place in places]
    else:
        name = path.stem
    if not NAME.fullmatch(name) or name == OWN:
        raise ModelFormatError(
            f"{path}: the model's name {name!r} cannot be used; allowed are letters, digits, . _ and -"
        )
    return name, places


def _place(info: zipfile.ZipInfo, path: Path) -> PurePosixPath:
    """Where an entry would go. Raises ModelFormatError for a way out of the folder, or what is no plain file."""
    place = PurePosixPath(info.filename)
    unsafe = place.is_absolute() or ".." in place.parts or "\\" in info.filename or ":" in info.filename
    kind = stat.S_IFMT(info.external_attr >> 16)
    if unsafe or kind not in (0, stat.S_IFREG) or "\0" in info.orig_filename:
        raise ModelFormatError(
            f"{path}: {info.filename!r} leads out of the model's folder or is no plain file"
        )
    return place


def _unpack(archive: zipfile.ZipFile, entries: Entries, draft: Path, told: Told) -> None:
    """Write every file; the library compares its checksum. Never more than the entry says it holds."""
    whole, done = sum(info.file_size for info, _ in entries), 0
    free = shutil.disk_usage(draft.parent).free
    if free < whole:
        raise OSError(
            f"{whole / 1e6:.0f} MB are needed in {draft.parent.parent}, {free / 1e6:.0f} MB are free"
        )
    for info, place in entries:
        target = draft / place
        target.parent.mkdir(parents=True, exist_ok=True)
        left = info.file_size
        with archive.open(info) as packed, target.open("xb") as out:
            while block := packed.read(BLOCK):
                left -= len(block)
                if left < 0:
                    raise zipfile.BadZipFile(f"{info.filename} is longer than it says")
                out.write(block)
                done += len(block)
                told(done, whole)
