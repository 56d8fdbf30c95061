"""A PostgreSQL server of the tests' own: in a temporary folder, on a socket file, gone afterwards."""

import os
import shutil
import signal
import subprocess
import tempfile
import time
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
    if shutil.which("setpriv") is None:
        return "setpriv (util-linux) is not installed"
    return ""


@contextmanager
def server() -> Iterator[Path]:
    """The folder of its socket, while it runs."""
    folder = Path(tempfile.mkdtemp(prefix="hub-postgres-"))
    if os.getuid() == 0:
        shutil.chown(folder, OWNER)
    try:
        _run(["initdb", "-D", str(folder / "data"), "-A", "trust", "-U", OWNER, "--no-sync"], folder)
        settings = ["listen_addresses=", f"unix_socket_directories={folder}", "fsync=off"]
        options = [word for setting in settings for word in ("-c", setting)]
        # it ends with the tests, however they end
        bound = ["setpriv", "--pdeathsig", "KILL"]
        if os.getuid() == 0:
            bound += ["--reuid", OWNER, "--regid", OWNER, "--clear-groups"]
        command = [*bound, _program("postgres"), "-D", str(folder / "data"), *options]
        with (folder / "log").open("w") as log, subprocess.Popen(command, stdout=log, stderr=log) as running:
            try:
                _wait(folder)
                yield folder
            finally:
                running.send_signal(signal.SIGINT)  # without waiting for those connected
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _wait(folder: Path) -> None:
    for _ in range(600):
        if subprocess.run([_program("pg_isready"), "-q", "-h", str(folder)], check=False).returncode == 0:
            return
        time.sleep(0.1)
    raise AssertionError((folder / "log").read_text())


def _program(name: str) -> str:
    folder = programs()
    assert folder is not None
    return str(folder / name)


def new_database(folder: Path) -> str:
    """The address of an empty database."""
    name = f"hub{next(_NUMBERS)}"
    _run(["createdb", "-h", str(folder), "-U", OWNER, name], folder)
    return f"postgresql://{OWNER}@/{name}?host={folder}"


def _run(command: Sequence[str], folder: Path) -> None:
    whole = [_program(command[0]), *command[1:]]
    if os.getuid() == 0:
        whole = ["runuser", "-u", OWNER, "--", *whole]
    with (folder / "said").open("w+") as said:
        status = subprocess.run(whole, cwd=folder, stdout=said, stderr=said, check=False).returncode
        said.seek(0)
        assert status == 0, said.read()
