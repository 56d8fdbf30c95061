"""The enrolment game line by line. A line of the input is a wish: `*` hear it, `<` say it again, `q` stop."""

import queue
import threading
from collections.abc import Iterable
from typing import Final, TextIO

from assistant.language.listening import Listening
from assistant.speech.enrolment_game import Turn, Verdict, Wish
from assistant.ui.numerals import dots

WISHES: Final = {"*": Wish.HEAR, "<": Wish.REDO, "-": Wish.REDO, "q": Wish.STOP, "/": Wish.STOP}
_EVERY: Final = 20
"""Steps of the fit that are told, of all."""


class PlainView:
    """Reads the input in a thread of its own, which ends with the input or the program."""

    def __init__(self, source: Iterable[str], sink: TextIO) -> None:
        self._sink = sink
        self._wishes: queue.SimpleQueue[Wish] = queue.SimpleQueue()
        self._told = -1
        threading.Thread(target=self._read, args=(source,), name="wishes", daemon=True).start()

    def ask(self, turn: Turn, done: int, of: int) -> None:
        if turn.kind is not Listening.COMMANDS:
            for row in dots(turn.value):
                self._line("    " + "".join("##" if dot else "  " for dot in row).rstrip())
        self._line(f"[{done + 1} / {of}] {turn.word}")

    def listening(self) -> None:
        self._line("  o))")

    def tell(self, verdict: Verdict | None) -> None:
        self._line("[ok]" if verdict is Verdict.GOOD else "[!!]")

    def caption(self, text: str) -> None:
        self._line(text)

    def progress(self, done: int, of: int) -> None:
        part = done * _EVERY // of
        if part != self._told:
            self._told = part
            self._line("[" + "#" * part + "." * (_EVERY - part) + "]")

    def result(self, good: bool) -> None:
        self._line("[ok]" if good else "[??]")

    def wish(self) -> Wish | None:
        try:
            return self._wishes.get_nowait()
        except queue.Empty:
            return None

    def _line(self, text: str) -> None:
        print(text, file=self._sink, flush=True)

    def _read(self, source: Iterable[str]) -> None:
        for line in source:
            if (wish := WISHES.get(line.strip())) is not None:
                self._wishes.put(wish)
