"""Where a bench keeps its things."""

import os
from pathlib import Path

from platformdirs import user_data_path

HOME_VARIABLE = "ASSISTANT_HOME"


def home_folder(given: Path | None = None) -> Path:
    """The folder of records: as given, else $ASSISTANT_HOME, else the user's data folder. Made if missing."""
    named = os.environ.get(HOME_VARIABLE)
    folder = given or (Path(named) if named else user_data_path("assistant", appauthor=False))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def bench_folder(home: Path, bench: str) -> Path:
    """One bench's own folder. Raises `ValueError` for a name that is not plain letters and digits."""
    if not (bench.isascii() and bench.replace("-", "").isalnum()):
        raise ValueError(f"bench name {bench!r} cannot be used; allowed are letters, digits and -")
    folder = home / bench
    folder.mkdir(parents=True, exist_ok=True)
    return folder
