"""The one way from the board's own screen to its hub, in the hub's own thread.

Looking needs no code: who sits at the board sees the board. Whatever changes something does.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from assistant.hub.door import Door
from assistant.hub.hub import Hub
from assistant.hub.notdone import NotDone
from assistant.hub.protocol import MOST_TEXT, AnswerGiven, CountGiven, Login, is_one_line
from assistant.hub.report import as_csv, as_html, day_of
from assistant.hub.store import StoreError
from assistant.hub.views import BoardView, FullView

LOCKED = "locked"


class ReportError(Exception):
    """The day report cannot be written; the sentence says where and why."""


@contextmanager
def _disk() -> Iterator[None]:
    """What the board's own disk refuses is not done, like anything else that is refused."""
    try:
        yield
    except StoreError as trouble:
        raise NotDone(503, "disk", str(trouble)) from trouble


@dataclass(slots=True)
class Desk:
    """`unlock` once; then answer, count, let go and forget."""

    hub: Hub
    door: Door
    addresses: Sequence[str] = ()
    fingerprint: str = ""
    _session: str = field(default="", init=False)

    def moved(self, addresses: Sequence[str]) -> None:
        """The board is at these addresses now."""
        self.addresses = addresses
        self.hub.version += 1

    @property
    def state(self) -> tuple[int, str]:
        """Another one whenever something the board shows has changed, but for time passing."""
        return (self.hub.version, self.door.code)

    def view(self) -> FullView:
        return FullView(
            board=self.hub.view(),
            code=self.door.code,
            addresses=list(self.addresses),
            fingerprint=self.fingerprint,
            paired=list(self.door.paired),
        )

    @property
    def unlocked(self) -> bool:
        return bool(self._session)

    def unlock(self, code: str) -> None:
        """Take the supervisor's code for everything that follows. Raises `NotDone`."""
        if not (code.isascii() and code.isdigit() and len(code) <= 20):
            raise NotDone(400, "code", "a supervisor's code is keyed in digits")
        self._session = self.door.login(Login(code=code))

    def answer(self, bench: str, question: int, yes: bool, reason: str = "") -> None:
        """Send yes or no to the question that line `question` opened. Raises `NotDone`."""
        if len(reason) > MOST_TEXT:
            raise NotDone(400, "reason", f"the reason has {len(reason)} characters; allowed are {MOST_TEXT}")
        if not is_one_line(reason):
            raise NotDone(400, "reason", f"the reason is {reason!r}; allowed is one line without tabs")
        given = AnswerGiven(bench=bench, question=question, yes=yes, reason=reason)
        with _disk():
            self.hub.answer(self._code(), given)

    def count(self, pocket: int, found: int) -> str:
        """Have benches write down what was counted; their names. Raises `NotDone`."""
        self._code()
        if not 0 <= found <= 100_000:
            raise NotDone(400, "count", f"{found} lenses in a pocket; allowed are 0 to 100000")
        with _disk():
            return self.hub.count(CountGiven(pocket=pocket, count=found))

    def let_go(self, bench: str) -> None:
        """This bench's token is good no more. Raises `NotDone`."""
        self._code()
        with _disk():
            self.door.revoke(bench)
        self.hub.cut_off(bench)
        self.hub.version += 1

    def forget(self, bench: str) -> None:
        """Take away the board's copy of a record; the bench sends it again. Raises `NotDone`."""
        self._code()
        with _disk():
            self.hub.forget(bench)

    def report(self, folder: Path) -> tuple[Path, Path]:
        """Write the day as HTML and CSV into `folder`. Raises `ReportError`."""
        return written(self.hub.view(), folder)

    def _code(self) -> str:
        if not self._session:
            raise NotDone(401, LOCKED, "key a supervisor's code first")
        try:
            return self.door.supervisor(self._session)
        except NotDone:
            self._session = ""  # many others have logged in since; the code is asked again
            raise


def pocket_and_count(text: str) -> tuple[int, int]:
    """What was counted, as it is keyed: `52 3`. Raises `ValueError`."""
    words = text.split()
    if len(words) != 2 or not all(word.isascii() and word.isdigit() for word in words):
        raise ValueError("give a pocket and how many lenses are in it, in digits")
    return int(words[0]), int(words[1])


def written(view: BoardView, folder: Path) -> tuple[Path, Path]:
    """The day's report in two files named by the date. Raises `ReportError`."""
    at = datetime.fromtimestamp(view.now)
    page, table = (folder / f"day-{day_of(view, at):%Y-%m-%d}.{ending}" for ending in ("html", "csv"))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        page.write_text(as_html(view, at), encoding="utf-8")
        table.write_text(as_csv(view), encoding="utf-8", newline="")
    except OSError as error:
        raise ReportError(
            f"the day report cannot be written in {folder}: {error.strerror or error}"
        ) from error
    return page, table
