"""A PostgreSQL server of the tests' own: in a temporary folder, on a socket file, gone afterwards."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import count
from pathlib import Path

OWNER = "postgres"
"""PostgreSQL refuses to run as root; root lends it this user, which Debian's package makes."""
_NUMBERS = count(1)


def programs() -> Path | None:
    """The folder of the newest PostgreSQL's programs."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[4]))
    on_path = shutil.which("initdb")
    return found[-1].parent if found else Path(on_path).resolve().parent if on_path else None


def why_not() -> str:
    """Why there can be no PostgreSQL here; empty where there can."""
    if programs() is None:
        return "PostgreSQL is not installed; run tests/hub/install_postgres.sh as root"
    return ""


@contextmanager
def server() -> Iterator[Path]:
    """The folder of its socket, while it runs."""
    folder = Path(tempfile.mkdtemp(prefix="hub-postgres-"))
    if os.getuid() == 0:
        shutil.chown(folder, OWNER)
    try:
        _run(["initdb", "-D", str(folder / "data"), "-A", "trust", "-U", OWNER, "--no-sync"], folder)
        options = f"-c listen_addresses='' -c unix_socket_directories='{folder}' -c fsync=off"
        control = ["pg_ctl", "-D", str(folder / "data"), "-w", "-l", str(folder / "log")]
        _run([*control, "-o", options, "start"], folder)
        try:
            yield folder
        finally:
            _run([*control, "-m", "immediate", "stop"], folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def new_database(folder: Path) -> str:
    """The address of an empty database."""
    name = f"hub{next(_NUMBERS)}"
    _run(["createdb", "-h", str(folder), "-U", OWNER, name], folder)
    return f"postgresql://{OWNER}@/{name}?host={folder}"


def _run(command: Sequence[str], folder: Path) -> None:
    bin_folder = programs()
    assert bin_folder is not None
    whole = [str(bin_folder / command[0]), *command[1:]]
    if os.getuid() == 0:
        whole = ["runuser", "-u", OWNER, "--", *whole]
    # a file, not a pipe: the server would keep a pipe open for as long as it runs
    with (folder / "said").open("w+") as said:
        status = subprocess.run(whole, cwd=folder, stdout=said, stderr=said, check=False).returncode
        said.seek(0)
        assert status == 0, said.read()
