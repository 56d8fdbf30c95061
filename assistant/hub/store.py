"""What the board keeps on disk: the benches' lines as they came, tokens as hashes, answers not yet heard.

SQLite by default; any address SQLAlchemy knows serves, so that one PostgreSQL can keep many clinics. Every
row names its clinic. The lines are copies: `forget` takes them away, and the benches send them again.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import sqlalchemy as sql

from assistant.hub.protocol import Answer

_METADATA: Final = sql.MetaData()
LINES: Final = sql.Table(
    "lines",
    _METADATA,
    sql.Column("clinic", sql.String(40), primary_key=True),
    sql.Column("bench", sql.String(40), primary_key=True),
    sql.Column("seq", sql.BigInteger, primary_key=True, autoincrement=False),
    sql.Column("offset_s", sql.Double, nullable=False),
    sql.Column("data", sql.LargeBinary, nullable=False),
)
TOKENS: Final = sql.Table(
    "tokens",
    _METADATA,
    sql.Column("hash", sql.String(64), primary_key=True),
    sql.Column("clinic", sql.String(40), nullable=False),
    sql.Column("bench", sql.String(40), nullable=False),
    sql.Column("made_at", sql.Double, nullable=False),
)
ANSWERS: Final = sql.Table(
    "answers",
    _METADATA,
    sql.Column("clinic", sql.String(40), primary_key=True),
    sql.Column("bench", sql.String(40), primary_key=True),
    sql.Column("question", sql.BigInteger, primary_key=True, autoincrement=False),
    sql.Column("yes", sql.Boolean, nullable=False),
    sql.Column("code", sql.String(20), nullable=False),
    sql.Column("reason", sql.String(200), nullable=False),
)
RESERVATIONS: Final = sql.Table(
    "reservations",
    _METADATA,
    sql.Column("clinic", sql.String(40), primary_key=True),
    sql.Column("bench", sql.String(40), primary_key=True),
    sql.Column("line", sql.BigInteger, primary_key=True, autoincrement=False),
    sql.Column("pocket", sql.Integer, primary_key=True, autoincrement=False),
    sql.Column("lenses", sql.Integer, nullable=False),
    sql.Column("at", sql.Double, nullable=False),
)
_TABLES: Final = (LINES, TOKENS, ANSWERS, RESERVATIONS)


class StoreError(RuntimeError):
    """The board's database cannot be used; the sentence says which and why."""


@dataclass(frozen=True, slots=True)
class StoredLine:
    bench: str
    seq: int
    offset_s: float
    """Board's clock less bench's clock when the line came."""
    data: bytes
    """As on the bench's disk, newline included."""


@dataclass(frozen=True, slots=True)
class Reservation:
    bench: str
    line: int
    pocket: int
    lenses: int
    at: float


def address_of(database: str | Path) -> str:
    """A path as an SQLite address; an address as it is."""
    return f"sqlite:///{database}" if isinstance(database, Path) else database


class Store:
    """One clinic's rows. Every call is one transaction; whatever returned is on disk."""

    def __init__(self, database: str | Path, clinic: str = "clinic") -> None:
        """Raises `StoreError` if the database cannot be opened."""
        self.clinic = clinic
        address = address_of(database)
        try:
            address = str(sql.make_url(address))  # without its password, for the sentence below
            self._engine = sql.create_engine(address_of(database))
            if self._engine.dialect.name == "sqlite":
                sql.event.listen(self._engine, "connect", _sqlite_settings)
            _METADATA.create_all(self._engine)
        except (sql.exc.SQLAlchemyError, ImportError) as error:
            reason = str(error).splitlines()[0]
            raise StoreError(f"the board's database {address!r} cannot be opened: {reason}") from error

    def close(self) -> None:
        self._engine.dispose()

    # lines

    def add_lines(self, lines: Sequence[StoredLine]) -> None:
        """Raises `sqlalchemy.exc.IntegrityError` for a line that is there already."""
        rows = [{"clinic": self.clinic, **_columns(line)} for line in lines]
        if rows:
            self._write(sql.insert(LINES), rows)

    def lines(self) -> Iterator[StoredLine]:
        """Every line of the clinic, bench by bench in the record's order."""
        wanted = sql.select(LINES.c.bench, LINES.c.seq, LINES.c.offset_s, LINES.c.data)
        wanted = wanted.where(LINES.c.clinic == self.clinic).order_by(LINES.c.bench, LINES.c.seq)
        with self._engine.connect() as connection:
            for row in connection.execution_options(yield_per=2000).execute(wanted):
                yield StoredLine(row.bench, row.seq, row.offset_s, bytes(row.data))

    def line(self, bench: str, seq: int) -> bytes | None:
        """The bytes of one line."""
        wanted = sql.select(LINES.c.data).where(*self._of(LINES, bench), LINES.c.seq == seq)
        with self._engine.connect() as connection:
            data = connection.execute(wanted).scalar_one_or_none()
        return None if data is None else bytes(data)

    def forget(self, bench: str) -> None:
        """Take away this bench's lines and reservations; the bench will send its record again."""
        with self._engine.begin() as connection:
            for table in (LINES, RESERVATIONS):
                connection.execute(sql.delete(table).where(*self._of(table, bench)))

    # tokens

    def add_token(self, token_hash: str, bench: str, at: float) -> None:
        row = {"hash": token_hash, "clinic": self.clinic, "bench": bench, "made_at": at}
        self._write(sql.insert(TOKENS), [row])

    def tokens(self) -> dict[str, str]:
        """Hash to bench."""
        wanted = sql.select(TOKENS.c.hash, TOKENS.c.bench).where(TOKENS.c.clinic == self.clinic)
        with self._engine.connect() as connection:
            return {row.hash: row.bench for row in connection.execute(wanted)}

    def revoke(self, bench: str) -> None:
        """No token of this bench is good any more."""
        self._write(sql.delete(TOKENS).where(*self._of(TOKENS, bench)))

    # answers

    def add_answer(self, bench: str, answer: Answer) -> None:
        """Raises `sqlalchemy.exc.IntegrityError` for a question that has its answer."""
        values = {
            "question": answer.question,
            "yes": answer.yes,
            "code": answer.code,
            "reason": answer.reason,
        }
        self._write(sql.insert(ANSWERS), [{"clinic": self.clinic, "bench": bench, **values}])

    def answers(self) -> list[tuple[str, Answer]]:
        wanted = sql.select(ANSWERS).where(ANSWERS.c.clinic == self.clinic)
        with self._engine.connect() as connection:
            return [
                (row.bench, Answer(question=row.question, yes=row.yes, code=row.code, reason=row.reason))
                for row in connection.execute(wanted)
            ]

    def drop_answer(self, bench: str, question: int) -> None:
        """The bench's record has it now."""
        self._write(sql.delete(ANSWERS).where(*self._of(ANSWERS, bench), ANSWERS.c.question == question))

    # reservations

    def reserve(self, bench: str, line: int, lenses: Mapping[int, int], at: float) -> None:
        """What this bench asked for this line before gives way to `lenses`."""
        same = (*self._of(RESERVATIONS, bench), RESERVATIONS.c.line == line)
        rows = [
            {"clinic": self.clinic, "bench": bench, "line": line, "pocket": pocket, "lenses": count, "at": at}
            for pocket, count in lenses.items()
        ]
        with self._engine.begin() as connection:
            connection.execute(sql.delete(RESERVATIONS).where(*same))
            if rows:
                connection.execute(sql.insert(RESERVATIONS), rows)

    def reservations(self) -> list[Reservation]:
        wanted = sql.select(RESERVATIONS).where(RESERVATIONS.c.clinic == self.clinic)
        with self._engine.connect() as connection:
            return [
                Reservation(row.bench, row.line, row.pocket, row.lenses, row.at)
                for row in connection.execute(wanted)
            ]

    def release(self, bench: str, through_line: int) -> None:
        """The record says it now, up to this line."""
        self._write(
            sql.delete(RESERVATIONS).where(
                *self._of(RESERVATIONS, bench), RESERVATIONS.c.line <= through_line
            )
        )

    def _of(self, table: sql.Table, bench: str) -> tuple[sql.ColumnElement[bool], ...]:
        return (table.c.clinic == self.clinic, table.c.bench == bench)

    def _write(self, statement: sql.Executable, rows: Iterable[Mapping[str, Any]] | None = None) -> None:
        with self._engine.begin() as connection:
            if rows is None:
                connection.execute(statement)
            else:
                connection.execute(statement, list(rows))


def _columns(line: StoredLine) -> dict[str, object]:
    return {"bench": line.bench, "seq": line.seq, "offset_s": line.offset_s, "data": line.data}


def _sqlite_settings(connection: Any, _: object) -> None:
    """The lines are copies of what the benches keep, so a power cut may cost the last ones."""
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=NORMAL")
    cursor.close()
