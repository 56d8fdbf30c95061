"""Which helper has which picture at the start of the day, kept beside the helpers' own number models."""

from pathlib import Path
from typing import Final

FOLDER: Final = "helpers"
PICTURE: Final = "picture.txt"
PICTURES: Final = range(1, 10)
"""One for each digit key."""


def helper_with(home: Path, picture: int | None) -> str | None:
    """The name of the helper with this picture; None where no helper has it.

    A file that cannot be read is passed over: the helper is then heard with the shared model.
    """
    if picture is None:
        return None
    for file in sorted((home / FOLDER).glob(f"*/{PICTURE}")):
        if _number(file) == picture:
            return file.parent.name
    return None


def give_picture(home: Path, helper: str, picture: int) -> None:
    """From now on this picture means this helper. Raises `ValueError`: no such helper, no such picture, or it is
    another helper's.
    """
    folder = home / FOLDER / helper
    if not folder.is_dir():
        raise ValueError(f"helper {helper!r} is not known in {home / FOLDER}; enrol the helper first")
    if picture not in PICTURES:
        raise ValueError(
            f"picture {picture} cannot be given; allowed is 1 to 9, as on the bench's first screen"
        )
    holder = helper_with(home, picture)
    if holder is not None and holder != helper:
        raise ValueError(f"picture {picture} is {holder}'s; give {holder} another one first")
    (folder / PICTURE).write_text(f"{picture}\n", encoding="utf-8")


def _number(file: Path) -> int | None:
    try:
        return int(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
