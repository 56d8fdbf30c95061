"""The board line by line: what changed is printed, answers come from the input.

For terminals without a full screen, screen readers, and programs that watch.
"""

import asyncio
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Final, TextIO

from assistant.board import telling
from assistant.board.desk import Desk, ReportError, pocket_and_count
from assistant.hub.notdone import NotDone
from assistant.hub.views import BenchView, FullView, QuestionView

LOOK_S: Final = 0.1
HELP: Final = (
    "code DIGITS - the supervisor's code, once",
    "yes N [REASON], no N [REASON] - answer question N",
    "list - benches and questions now; today - the day so far",
    "pair - how a bench is paired; release BENCH - its pairing ends",
    "count POCKET LENSES - what you counted in a pocket",
    "forget BENCH - take away the board's copy of its record; the bench sends it again",
    "report [FOLDER] - write the day's report; quit",
)


class Plain:
    """Prints to `sink`; `take` carries out one line of the input, `look` tells what changed."""

    def __init__(self, desk: Desk, sink: TextIO, reports: Path) -> None:
        self._desk, self._sink, self._reports = desk, sink, reports
        self._benches: dict[str, str] = {}
        self._numbers: dict[tuple[str, int], int] = {}
        self._told: dict[int, bool] = {}
        self._seen: tuple[tuple[int, str], int] | None = None
        self._code: tuple[str, tuple[str, ...]] = ("", ())
        self._trouble = ""
        self.over = False

    async def run(self, source: TextIO) -> None:
        """Until the input says quit. The input's end ends nothing: the benches still need their board."""
        lines: asyncio.Queue[str] = asyncio.Queue()
        loop = asyncio.get_running_loop()

        def deliver(line: str) -> None:
            loop.call_soon_threadsafe(lines.put_nowait, line)

        threading.Thread(target=_read, args=(source, deliver), name="input", daemon=True).start()
        self._print(*HELP)
        while not self.over:
            if self._news(loop.time()):
                self.look()
            try:
                self.take(await asyncio.wait_for(lines.get(), LOOK_S))
            except TimeoutError:
                continue

    # out

    def _news(self, at: float) -> bool:
        """Whether something changed, or time enough has passed for a bench to have gone silent."""
        state = (self._desk.state, int(at))
        news, self._seen = state != self._seen, state
        return news

    def look(self) -> None:
        """Print what changed since the last look."""
        view = self._desk.view()
        code = (view.code, tuple(view.addresses))
        if code != self._code:
            self._code = code
            self._pairing(view)
        if view.board.trouble != self._trouble:
            self._trouble = view.board.trouble
            self._print(f"board: {self._trouble or 'well again'}")
        for bench in view.board.benches:
            self._bench(bench, view.board.now)
        for question in view.board.questions:
            self._question(question, view.board.now)
        self._closed({(question.bench, question.line) for question in view.board.questions})

    def _closed(self, still: set[tuple[str, int]]) -> None:
        for key, number in self._numbers.items():
            if key not in still and self._told.pop(number, None) is not None:
                self._print(f"question {number} is over: {key[0]} goes on")

    def _bench(self, bench: BenchView, now: float) -> None:
        still = telling.bench_line(bench, bench.step_since)  # the same line, whatever the time
        if self._benches.get(bench.name) != still:
            self._benches[bench.name] = still
            self._print(f"bench {telling.bench_line(bench, now)}")

    def _question(self, question: QuestionView, now: float) -> None:
        key = (question.bench, question.line)
        number = self._numbers.setdefault(key, len(self._numbers) + 1)
        if self._told.get(number) == question.answered:
            return
        first = number not in self._told
        self._told[number] = question.answered
        self._print(f"question {number}: {telling.question_line(question, now)}")
        if first and not question.answered:
            self._print(*(f"  {line}" for line in telling.question_lines(question)))

    def _pairing(self, view: FullView) -> None:
        at = " or ".join(view.addresses) or "nowhere yet"
        self._print(f"pairing code {view.code} at {at}")
        if view.fingerprint:
            self._print(f"certificate {view.fingerprint}")

    # in

    def take(self, line: str) -> None:
        """Carry out one line; a refusal is printed and changes nothing."""
        word, _, rest = line.strip().partition(" ")
        if not word:
            return
        act = self._acts().get(word.lower())
        if act is None:
            self._print(f"{word!r} is not known; known are", *HELP)
            return
        try:
            act(rest.strip())
        except (NotDone, ReportError) as refusal:
            self._print(f"not done: {refusal}")
        except ValueError as error:
            self._print(f"not done: {line.strip()!r}: {error}")

    def _acts(self) -> dict[str, Callable[[str], None]]:
        return {
            "code": self._unlock,
            "yes": lambda rest: self._answer(rest, yes=True),
            "no": lambda rest: self._answer(rest, yes=False),
            "list": lambda _: self._again(),
            "today": lambda _: self._today(),
            "pair": lambda _: self._pairs(),
            "release": self._release,
            "forget": self._forget,
            "count": self._count,
            "report": self._report,
            "quit": lambda _: self.end(),
            "help": lambda _: self._print(*HELP),
        }

    def _unlock(self, code: str) -> None:
        self._desk.unlock(code)
        self._print("code taken")

    def _answer(self, rest: str, yes: bool) -> None:
        number, _, reason = rest.partition(" ")
        wanted = {str(n): key for key, n in self._numbers.items()}.get(number)
        if wanted is None:
            raise ValueError("give the number of a question that was printed")
        self._desk.answer(*wanted, yes, reason.strip())
        self._print(f"answer {number} sent to {wanted[0]}")

    def _again(self) -> None:
        self._benches.clear()
        self._told.clear()
        self.look()

    def _today(self) -> None:
        today = self._desk.view().board.today
        self._print(*(f"{title}: {line}" for title, lines in telling.day_parts(today) for line in lines))

    def _pairs(self) -> None:
        view = self._desk.view()
        self._pairing(view)
        self._print(f"paired: {', '.join(view.paired) or 'none'}")

    def _count(self, rest: str) -> None:
        benches = self._desk.count(*pocket_and_count(rest))
        self._print(f"count sent to {benches}, to be written down")

    def _report(self, folder: str) -> None:
        page, table = self._desk.report(Path(folder) if folder else self._reports)
        self._print(f"report written: {page} and {table}")

    def end(self) -> None:
        self.over = True

    def _release(self, bench: str) -> None:
        self._desk.let_go(bench)
        self._print(f"{bench} is let go; it needs the pairing code to come back")

    def _forget(self, bench: str) -> None:
        self._desk.forget(bench)
        self._print(f"the copy of {bench}'s record is taken away")

    def _print(self, *lines: str) -> None:
        for line in lines:
            print(line, file=self._sink)
        self._sink.flush()


def _read(source: TextIO, deliver: Callable[[str], None]) -> None:
    for line in source:
        deliver(line)
