"""Replay line by line: for pipes, serial lines, screen readers and tests. A line of the input is one order.

In the list a number opens a session. In a session an empty line goes on; `?` lists the orders. The end of the
input leaves.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Final, TextIO

from assistant.journal.errors import RecordError
from assistant.replay.playing import USUAL_SPEED, speed_of, wait_s
from assistant.replay.rehear import summed
from assistant.replay.shelf import NoSession, Shelf, all_heard, clip_of
from assistant.replay.telling import DIFFERENT, all_lines, differing_count, list_lines
from assistant.replay.viewing import Viewing
from assistant.speech.errors import SpeechError
from assistant.ui.glyphs import for_terminal

ORDERS: Final = (
    ("n, or an empty line", "the next step"),
    ("b", "one step back"),
    ("m", "on to the next mistake"),
    ("M", "back to the mistake before"),
    ("p [SPEED]", f"play from here to the next mistake or the end (0.5 to 20 times, usual {USUAL_SPEED:g})"),
    ("g LINE", "go to a line of the record"),
    ("c", "play what was said, where it was recorded"),
    ("h", "hear this recording again with the model given, H all of them"),
    ("d", "on to the next step that would be decided differently, D list all of them"),
    ("w TEXT", "write a note here; w alone takes it away"),
    ("W", "list the notes"),
    ("l", "back to the list"),
    ("q", "leave"),
)


class Plain:
    """One trainer at one terminal line."""

    def __init__(self, shelf: Shelf, sink: TextIO) -> None:
        self._shelf, self._sink = shelf, sink
        self._viewing: Viewing | None = None
        self._orders: Mapping[str, Callable[[Viewing, str], None]] = {
            "": lambda v, _: self._moved(v, v.step(1), "that was the last step"),
            "n": lambda v, _: self._moved(v, v.step(1), "that was the last step"),
            "b": lambda v, _: self._moved(v, v.step(-1), "that was the first step"),
            "m": lambda v, _: self._moved(v, v.next_mistake(), "no mistake after this"),
            "M": lambda v, _: self._moved(v, v.previous_mistake(), "no mistake before this"),
            "d": lambda v, _: self._moved(v, v.next_difference(), self._no_difference(v)),
            "D": lambda v, _: self._list_differences(v),
            "g": self._go,
            "p": self._play,
            "c": lambda v, _: self._play_clip(v),
            "h": lambda v, _: self._hear(v),
            "H": lambda v, _: self._hear_all(v),
            "w": self._write,
            "W": lambda v, _: self._list_notes(v),
        }

    def run(self, source: Iterable[str], number: int | None = None) -> None:
        """Take orders until the input ends; `number`: a session of the list to begin with."""
        if number is None:
            self._list()
        else:
            self._open(str(number))
        for text in source:
            order = text.strip()
            if order == "q":
                return
            self._take(order)

    def _take(self, order: str) -> None:
        word, _, rest = order.partition(" ")
        if word == "?":
            self._tell(*(f"  {keys:<20} {does}" for keys, does in ORDERS))
        elif word == "l":
            self._list()
        elif self._viewing is None:
            self._open(word)
        elif word in self._orders:
            try:
                self._orders[word](self._viewing, rest.strip())
            except (NoSession, SpeechError, RecordError, ValueError) as error:
                self._tell(str(error))
        else:
            self._tell(f"{word!r} is no order; ? lists them")

    def _list(self) -> None:
        self._viewing = None
        rows = self._shelf.rows
        self._tell(*list_lines(rows), "number of a session, or q >" if rows else "there is no session here")

    def _open(self, word: str) -> None:
        if not word.isdecimal():
            self._tell(f"{word!r} is no session; allowed is a number from 1 to {len(self._shelf.rows)}, or q")
            return
        try:
            self._viewing = viewing = self._shelf.open(int(word))
        except NoSession as error:
            self._tell(str(error))
            return
        opened = viewing.opened
        self._tell(
            f"{opened.path.name}: bench {opened.bench}, kit {opened.timeline.kit.name} ({opened.kit_from})"
        )
        self._tell(*viewing.troubles, *opened.remarks)
        if viewing.under:
            self._tell(differing_count(viewing))
        self._show(viewing)
        self._tell("an empty line goes on; ? lists the orders")

    def _moved(self, viewing: Viewing, moved: bool, otherwise: str) -> None:
        if moved:
            self._show(viewing)
        else:
            self._tell(otherwise)

    def _show(self, viewing: Viewing) -> None:
        self._tell(*all_lines(viewing, self._shelf.outside.columns, self._shelf.outside.glyphs))

    def _go(self, viewing: Viewing, text: str) -> None:
        day = viewing.day
        allowed = f"allowed is a line from {day.first + 1} to {day.last + 1}"
        if not text.isdecimal():
            raise ValueError(f"line {text!r} is no number; {allowed}")
        self._moved(viewing, viewing.go(int(text) - 1), f"there is no line {text} here; {allowed}")

    def _play(self, viewing: Viewing, text: str) -> None:
        speed = speed_of(text) if text else USUAL_SPEED
        while True:
            now = viewing.moment
            if not viewing.step(1):
                self._tell("that was the last step")
                return
            self._shelf.outside.sleep(wait_s(now, viewing.moment, speed))
            self._show(viewing)
            if viewing.moment.mistakes:
                return

    def _play_clip(self, viewing: Viewing) -> None:
        sound = clip_of(viewing)
        try:
            self._shelf.outside.player.play(sound, lambda: True)
        except SpeechError as error:
            raise NoSession(f"no sound: {error}") from error
        self._tell(f"played, {sound.seconds:.1f} s")

    def _hear(self, viewing: Viewing) -> None:
        again = self._shelf.outside.hears(viewing.opened.path, viewing.moment)
        self._tell("nothing was recorded at this moment" if again is None else again.words)

    def _hear_all(self, viewing: Viewing) -> None:
        found = all_heard(viewing, self._shelf.outside.hears)
        self._tell(*(f"line {again.line}: {again.words}" for again in found), summed(found))

    def _no_difference(self, viewing: Viewing) -> str:
        if not viewing.under:
            return "nothing to compare with; start with --kit FOLDER or --standard NAME"
        return f"nothing after this would be decided differently under {viewing.under}"

    def _list_differences(self, viewing: Viewing) -> None:
        told = [
            f"{DIFFERENT} line {one.line}, {one.words}"
            for found in viewing.differing.values()
            for one in found
        ]
        self._tell(*(told or [self._no_difference(viewing)]))

    def _write(self, viewing: Viewing, text: str) -> None:
        viewing.write(text, self._shelf.outside.now())
        self._tell("note kept" if text else "note taken away")

    def _list_notes(self, viewing: Viewing) -> None:
        told = [f"line {number}: {text}" for number, text in sorted(viewing.notes.items())]
        self._tell(*(told or ["no notes yet"]))

    def _tell(self, *lines: str) -> None:
        for text in lines:
            print(for_terminal(text, self._shelf.outside.glyphs), file=self._sink)
        self._sink.flush()
