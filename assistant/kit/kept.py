"""A copy of a kit beside the record made with it: a record names no kit, and means nothing under another."""

import os
from contextlib import nullcontext
from pathlib import Path
from typing import Final

from assistant.kit.load import BANK_FILE, KIT_FILE, demo_folder

KEPT_FOLDER: Final = "kit"


def kept_beside(record_folder: Path) -> Path | None:
    """The folder of the kit kept beside a record; None for none, which means the demonstration kit."""
    folder = record_folder / KEPT_FOLDER
    return folder if (folder / KIT_FILE).is_file() else None


def keep_beside(record_folder: Path, kit_folder: Path | None) -> None:
    """Keep the kit of `kit_folder` (None: the demonstration kit) beside the records of a folder.

    A file that is the same already is left alone. Raises `OSError`.
    """
    with demo_folder() if kit_folder is None else nullcontext(kit_folder) as source:
        _copied(source, record_folder / KEPT_FOLDER)


def _copied(source: Path, folder: Path) -> None:
    folder.mkdir(exist_ok=True)
    for name in (BANK_FILE, KIT_FILE):  # the file it is found by comes last
        data, kept = (source / name).read_bytes(), folder / name
        if not kept.is_file() or kept.read_bytes() != data:
            draft = folder / f"{name}.new"
            draft.write_bytes(data)
            os.replace(draft, kept)
