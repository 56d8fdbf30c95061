"""What the hub and its benches keep to themselves: tokens, keys, the fold."""

import os
from pathlib import Path


def write_private(path: Path, data: bytes) -> None:
    """Write a file whole or not at all, for nobody else to read. Raises `OSError`."""
    new = path.with_name(path.name + ".new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)
