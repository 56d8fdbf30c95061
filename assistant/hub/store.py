"""What the board keeps on disk: the benches' lines as they came, tokens as hashes, mail not yet heard.

SQLite by default; any address SQLAlchemy knows serves, so that one PostgreSQL can keep many clinics. Every
row names its clinic. The lines are copies: `forget` takes them away, and the benches send them again.
"""

import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import msgspec
import sqlalchemy as sql

from assistant.hub.database import ClinicTaken, address_of, claim, engine_of, give_up
from assistant.hub.protocol import Answer, BadMessage, Counted, Mail, decode_mail, encode
from assistant.hub.tables import LINES, MAIL, METADATA, MOST_CLINIC, RESERVATIONS, TOKENS

_NO_CODE: Final = "0"
"""Stands in an answer on disk where its code is kept as a hash."""
DAMAGED: Final = ("malformed", "not a database")
"""What SQLite says of a file that was torn."""


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
    line: int
    """The line that will promise these lenses."""
    lenses: dict[int, int]
    """Pockets to lenses."""
    at: float


class Store:
    """One clinic's rows. Every call is one transaction; whatever returned is on disk."""

    def __init__(self, database: str | Path, clinic: str = "clinic") -> None:
        """Raises `StoreError` if the database cannot be opened, or another board works in it for this clinic."""
        if not (0 < len(clinic) <= MOST_CLINIC and clinic.isprintable()):
            raise StoreError(
                f"clinic name {clinic!r} cannot be used; allowed are 1 to {MOST_CLINIC} characters on one line"
            )
        self.clinic = clinic
        self._held: sql.Connection | None = None
        self.fold_path = database.with_suffix(".fold") if isinstance(database, Path) else None
        """Where the hub may keep its fold: beside a database of this machine's own."""
        self._address = address_of(database)
        try:
            self._address = str(sql.make_url(self._address))  # without its password, for sentences
            self._engine = engine_of(address_of(database))
            METADATA.create_all(self._engine)
            self._held = claim(self._engine, clinic)
        except ClinicTaken as error:
            self.close()
            todo = "end it first, or give this clinic a name of its own with --clinic"
            raise StoreError(
                f"another board works for clinic {clinic!r} in the database {self._address!r}; {todo}"
            ) from error
        except (sql.exc.SQLAlchemyError, ImportError) as error:
            reason = str(error).splitlines()[0]
            if any(words in reason for words in DAMAGED):
                raise self.damaged(reason) from error
            raise StoreError(f"the board's database {self._address!r} cannot be opened: {reason}") from error

    def close(self) -> None:
        with suppress(sql.exc.SQLAlchemyError):  # a connection that was lost holds nothing any more
            if self._held is not None:
                give_up(self._held, self.clinic)
        self._engine.dispose()

    # lines

    def add_lines(self, lines: Sequence[StoredLine]) -> None:
        """All of them or none. Raises `StoreError`, as every write does."""
        rows = [{"clinic": self.clinic, **_columns(line)} for line in lines]
        if rows:
            self._write(sql.insert(LINES), rows)

    def benches(self) -> list[str]:
        """Every bench that has lines, by name."""
        wanted = sql.select(LINES.c.bench).where(LINES.c.clinic == self.clinic).distinct()
        with self._reading() as connection:
            return list(connection.execute(wanted.order_by(LINES.c.bench)).scalars())

    def lines(self, bench: str | None = None, after: int = 0) -> Iterator[StoredLine]:
        """Every line, or one bench's, with numbers above `after`; bench by bench in the record's order."""
        wanted = sql.select(LINES.c.bench, LINES.c.seq, LINES.c.offset_s, LINES.c.data)
        wanted = wanted.where(LINES.c.clinic == self.clinic, LINES.c.seq > after)
        if bench is not None:
            wanted = wanted.where(LINES.c.bench == bench)
        wanted = wanted.order_by(LINES.c.bench, LINES.c.seq)
        with self._reading() as connection:
            for row in connection.execution_options(yield_per=2000).execute(wanted):
                yield StoredLine(row.bench, row.seq, row.offset_s, bytes(row.data))

    def between(self, bench: str, first: int, last: int) -> list[bytes]:
        """The bytes of lines `first` to `last`."""
        wanted = sql.select(LINES.c.data).where(*self._of(LINES, bench), LINES.c.seq.between(first, last))
        with self._reading() as connection:
            return [bytes(data) for data in connection.execute(wanted.order_by(LINES.c.seq)).scalars()]

    def forget(self, bench: str) -> None:
        """Take away this bench's lines and reservations; the bench will send its record again."""
        with self._writing() as connection:
            for table in (LINES, RESERVATIONS):
                connection.execute(sql.delete(table).where(*self._of(table, bench)))

    # tokens

    def add_token(self, token_hash: str, bench: str, at: float) -> None:
        row = {"hash": token_hash, "clinic": self.clinic, "bench": bench, "made_at": at}
        self._write(sql.insert(TOKENS), [row])

    def tokens(self) -> dict[str, str]:
        """Hash to bench."""
        wanted = sql.select(TOKENS.c.hash, TOKENS.c.bench).where(TOKENS.c.clinic == self.clinic)
        with self._reading() as connection:
            return {row.hash: row.bench for row in connection.execute(wanted)}

    def revoke(self, bench: str) -> None:
        """No token of this bench is good any more."""
        self._write(sql.delete(TOKENS).where(*self._of(TOKENS, bench)))

    # mail

    def add_mail(self, bench: str, mail: Mail) -> None:
        """The code of an answer is kept as a hash. An answer to the same question that was kept before gives way."""
        key, code_hash = _id_of(mail), ""
        if isinstance(mail, Answer):
            code_hash = self._code_hash(bench, key, mail.code)
            mail = msgspec.structs.replace(mail, code=_NO_CODE)
        row = {"clinic": self.clinic, "bench": bench, "id": key, "data": encode(mail)}
        with self._writing() as connection:
            connection.execute(sql.delete(MAIL).where(*self._of(MAIL, bench), MAIL.c.id == key))
            connection.execute(sql.insert(MAIL), [{**row, "code_hash": code_hash}])

    def mail(self, codes: Iterable[str]) -> list[tuple[str, Mail]]:
        """What waits for each bench. An answer by a code that is not among `codes` is good no more."""
        wanted = sql.select(MAIL).where(MAIL.c.clinic == self.clinic).order_by(MAIL.c.id)
        with self._reading() as connection:
            rows = connection.execute(wanted).all()
        found: list[tuple[str, Mail]] = []
        for row in rows:
            try:
                mail = decode_mail(bytes(row.data))
            except BadMessage as error:
                raise self.damaged(
                    f"mail {row.id!r} for bench {row.bench} cannot be read: {error}"
                ) from error
            if isinstance(mail, Counted):
                found.append((row.bench, mail))
            for code in codes if isinstance(mail, Answer) else ():
                if self._code_hash(row.bench, row.id, code) == row.code_hash:
                    found.append((row.bench, msgspec.structs.replace(mail, code=code)))
        return found

    def drop_mail(self, bench: str, mail: Mail) -> None:
        """The bench's record has it now."""
        self._write(sql.delete(MAIL).where(*self._of(MAIL, bench), MAIL.c.id == _id_of(mail)))

    def _code_hash(self, bench: str, mail_id: str, code: str) -> str:
        """Keeps a code from being read; one of four digits is still found by trying them all."""
        return hashlib.sha256(f"{self.clinic}/{bench}/{mail_id}/{code}".encode()).hexdigest()

    # reservations

    def reserve(self, bench: str, kept: Sequence[Reservation]) -> None:
        """What was kept for this bench before gives way to `kept`."""
        row = {"clinic": self.clinic, "bench": bench, "data": msgspec.json.encode(kept)}
        with self._writing() as connection:
            connection.execute(sql.delete(RESERVATIONS).where(*self._of(RESERVATIONS, bench)))
            if kept:
                connection.execute(sql.insert(RESERVATIONS), [row])

    def reservations(self) -> dict[str, list[Reservation]]:
        """What is kept for each bench."""
        wanted = sql.select(RESERVATIONS).where(RESERVATIONS.c.clinic == self.clinic)
        kept = msgspec.json.Decoder(list[Reservation])
        with self._reading() as connection:
            rows = connection.execute(wanted).all()
        try:
            return {row.bench: kept.decode(row.data) for row in rows}
        except msgspec.MsgspecError as error:
            raise self.damaged(f"a reservation cannot be read: {error}") from error

    def damaged(self, what: str) -> StoreError:
        """What to raise for rows that are not as they were written, with what to do."""
        away = "move the board's folder away" if self.fold_path else "take the rows of this clinic away"
        todo = f"{away} and pair the benches again; they send their records again"
        return StoreError(f"the board's database {self._address!r} is damaged, {what}; {todo}")

    def _of(self, table: sql.Table, bench: str) -> tuple[sql.ColumnElement[bool], ...]:
        return (table.c.clinic == self.clinic, table.c.bench == bench)

    def _write(self, statement: sql.Executable, rows: list[dict[str, Any]] | None = None) -> None:
        with self._writing() as connection:
            connection.execute(statement, rows)

    def _writing(self) -> AbstractContextManager[sql.Connection]:
        return self._said(self._engine.begin)

    def _reading(self) -> AbstractContextManager[sql.Connection]:
        return self._said(self._engine.connect)

    @contextmanager
    def _said(self, work: Callable[[], AbstractContextManager[sql.Connection]]) -> Iterator[sql.Connection]:
        try:
            with work() as connection:
                yield connection
        except sql.exc.SQLAlchemyError as error:
            reason = str(getattr(error, "orig", None) or error).splitlines()[0]
            if any(words in reason for words in DAMAGED):
                raise self.damaged(reason) from error
            raise StoreError(f"the board's database {self._address!r} refused: {reason}") from error


def _id_of(mail: Mail) -> str:
    return f"answer-{mail.question}" if isinstance(mail, Answer) else f"counted-{mail.counted_at!r}"


def _columns(line: StoredLine) -> dict[str, object]:
    return {"bench": line.bench, "seq": line.seq, "offset_s": line.offset_s, "data": line.data}
