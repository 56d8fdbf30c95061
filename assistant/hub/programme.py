"""A PostgreSQL server that keeps many clinics: it answers soon or not at all, and one board works for a clinic.

The board and its hub run in one thread, so a database that is far away must never hold it for long.
"""

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


def connecting(url: sql.URL) -> dict[str, int]:
    """Bounds for the connection, where the address sets none itself."""
    bounds = {"connect_timeout": REACHED_S, "tcp_user_timeout": ANSWERS_MS}
    return {name: value for name, value in bounds.items() if name not in url.query}


def settle_connection(connection: Any, _: object) -> None:
    """Every new connection's own settings."""
    settings = {"statement_timeout": ANSWERS_MS, "lock_timeout": FREE_MS, **_DEAD_AFTER}
    with connection.cursor() as cursor:
        for name, value in settings.items():
            cursor.execute(f"SET {name} = {value}")
    connection.commit()


def claim(engine: sql.Engine, clinic: str) -> sql.Connection:
    """The connection that holds the clinic until it is given up or lost. Raises `ClinicTaken`."""
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
