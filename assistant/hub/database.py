"""Where the store's tables lie: in a file of this machine's, or on a PostgreSQL server that keeps many clinics.

The board and its hub run in one thread, so a server that is far away must never hold it for long: it answers
soon or not at all. And one board works for a clinic.
"""

import re
from pathlib import Path
from typing import Any, Final

import sqlalchemy as sql

REACHED_S: Final = 5
"""A server that is not reached in this time is not there."""
ANSWERS_MS: Final = 10_000
FREE_MS: Final = 3_000
"""A board that was killed a moment ago still has its clinic for so long."""
_DEAD_AFTER: Final = {"tcp_keepalives_idle": 20, "tcp_keepalives_interval": 10, "tcp_keepalives_count": 3}
"""Seconds, seconds, times: a board whose machine lost its power is given up by the server within a minute."""


class ClinicTaken(Exception):  # noqa: N818 - says what happened
    """Another board works for the clinic."""


def address_of(database: str | Path) -> str:
    """A path as an SQLite address; an address as it is, PostgreSQL through the driver that is used here."""
    if isinstance(database, Path):
        return f"sqlite:///{database}"
    return re.sub("^postgres(ql)?:", "postgresql+psycopg:", database)


def engine_of(address: str) -> sql.Engine:
    """Raises SQLAlchemy's own errors, and `ImportError` where the driver is not installed."""
    url = sql.make_url(address)
    distant = url.get_backend_name() == "postgresql"
    engine = sql.create_engine(url, pool_pre_ping=True, connect_args=_bounds(url) if distant else {})
    if distant:
        sql.event.listen(engine, "connect", _postgres_settings)
    elif engine.dialect.name == "sqlite":
        sql.event.listen(engine, "connect", _sqlite_settings)
    return engine


def _sqlite_settings(connection: Any, _: object) -> None:
    """The lines are copies of what the benches keep, so a power cut may cost the last ones."""
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=NORMAL")
    cursor.close()


def _bounds(url: sql.URL) -> dict[str, int]:
    """For a connection, where the address sets none itself."""
    bounds = {"connect_timeout": REACHED_S, "tcp_user_timeout": ANSWERS_MS}
    return {name: value for name, value in bounds.items() if name not in url.query}


def _postgres_settings(connection: Any, _: object) -> None:
    settings = {"statement_timeout": ANSWERS_MS, "lock_timeout": FREE_MS, **_DEAD_AFTER}
    with connection.cursor() as cursor:
        for name, value in settings.items():
            cursor.execute(f"SET {name} = {value}")
    connection.commit()


def claim(engine: sql.Engine, clinic: str) -> sql.Connection | None:
    """The connection that holds the clinic until it is given up or lost. Raises `ClinicTaken`.

    None for a file: whoever opens it holds its folder.
    """
    if engine.dialect.name != "postgresql":
        return None
    held = engine.connect().execution_options(isolation_level="AUTOCOMMIT")
    try:
        held.execute(sql.select(sql.func.pg_advisory_lock(_key(clinic))))
    except sql.exc.DBAPIError as error:
        held.close()
        if getattr(error.orig, "sqlstate", "") != "55P03":  # lock_not_available
            raise
        raise ClinicTaken(clinic) from error
    return held


def give_up(held: sql.Connection, clinic: str) -> None:
    """Let another board have the clinic at once. Raises SQLAlchemy's own error where the connection was lost."""
    held.execute(sql.select(sql.func.pg_advisory_unlock(_key(clinic))))
    held.close()


def _key(clinic: str) -> sql.Function[Any]:
    return sql.func.hashtextextended(f"board of {clinic}", 0)
