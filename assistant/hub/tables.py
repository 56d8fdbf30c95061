"""The tables of the board's database. Every row names its clinic."""

from typing import Final

import sqlalchemy as sql

METADATA: Final = sql.MetaData()
MOST_CLINIC: Final = 40
"""Characters of a clinic's name."""
LINES: Final = sql.Table(
    "lines",
    METADATA,
    sql.Column("clinic", sql.String(MOST_CLINIC), primary_key=True),
    sql.Column("bench", sql.String(40), primary_key=True),
    sql.Column("seq", sql.BigInteger, primary_key=True, autoincrement=False),
    sql.Column("offset_s", sql.Double, nullable=False),
    sql.Column("data", sql.LargeBinary, nullable=False),
)
TOKENS: Final = sql.Table(
    "tokens",
    METADATA,
    sql.Column("hash", sql.String(64), primary_key=True),
    sql.Column("clinic", sql.String(MOST_CLINIC), nullable=False),
    sql.Column("bench", sql.String(40), nullable=False),
    sql.Column("made_at", sql.Double, nullable=False),
)
MAIL: Final = sql.Table(
    "mail",
    METADATA,
    sql.Column("clinic", sql.String(MOST_CLINIC), primary_key=True),
    sql.Column("bench", sql.String(40), primary_key=True),
    sql.Column("id", sql.String(60), primary_key=True),
    sql.Column("data", sql.LargeBinary, nullable=False),
    sql.Column("code_hash", sql.String(64), nullable=False),
)
RESERVATIONS: Final = sql.Table(
    "reservations",
    METADATA,
    sql.Column("clinic", sql.String(MOST_CLINIC), primary_key=True),
    sql.Column("bench", sql.String(40), primary_key=True),
    sql.Column("data", sql.LargeBinary, nullable=False),
)
