"""One bench as a card: picture, work and time, progress and connection, last pair."""

import textwrap
from collections.abc import Iterable

from textual.content import Content
from textual.widget import Widget

from assistant.board import telling
from assistant.hub.views import BenchView
from assistant.ui.canvas import draw, to_content
from assistant.ui.glyphs import COLOURS, Glyphs, for_terminal
from assistant.ui.pictures.signs import SIGNS
from assistant.ui.shapes import Ink, Scene

SIGN_BOX: float = 32.0
"""World units about a helper's sign."""
_BAR = {False: ("━", "─"), True: ("=", "-")}
_BAR_COLUMNS = 16
_STATES = {False: ("?", "!", "●", "○"), True: ("?", "!", "*", "o")}
"""By whether it is plain ASCII: asks, late, at work, away."""

Run = tuple[str, str]
"""Text and its style."""


def hanging(lines: Iterable[str], columns: int, glyphs: Glyphs) -> str:
    """Lines under a heading, each wrapped to `columns` with what follows its first row set in further."""
    room = max(20, columns)
    told = (for_terminal(line, glyphs) for line in lines)
    return "\n".join(
        textwrap.fill(line, room, initial_indent="  ", subsequent_indent="    ") for line in told
    )


def helper_picture(helper: int | None, rows: int, glyphs: Glyphs) -> tuple[Content, ...]:
    """The helper's sign in `rows` lines, twice as many columns; blank where nobody works yet."""
    columns = 2 * rows
    if helper is None or not 1 <= helper <= len(SIGNS):
        return tuple(Content(" " * columns) for _ in range(rows))
    cells = draw(Scene(SIGNS[helper - 1], SIGN_BOX, SIGN_BOX), columns, rows, glyphs)
    return tuple(to_content((row,), glyphs) for row in cells)


def state_of(bench: BenchView, now: float, glyphs: Glyphs) -> Run:
    """The sign at the head of a card: away, asks, late, or at work."""
    asks, late, well, away = _STATES[glyphs is Glyphs.ASCII]
    colours = COLOURS[glyphs]
    if not bench.connected:
        return (away, f"bold {colours[Ink.WRONG]}")
    if bench.asked_at is not None:
        return (asks, f"bold reverse {colours[Ink.WAIT]}")
    if telling.is_late(bench, now):
        return (late, f"bold {colours[Ink.LIT]}")
    return (well, colours[Ink.RIGHT])


def bar(bench: BenchView, glyphs: Glyphs) -> tuple[Run, Run]:
    """How far along its way the bench is."""
    full, rest = _BAR[glyphs is Glyphs.ASCII]
    if bench.places == 1:
        return ("", ""), ("", "")
    done = round(_BAR_COLUMNS * (bench.place - 1) / (bench.places - 1))
    colours = COLOURS[glyphs]
    return (full * done, colours[Ink.LINE]), (rest * (_BAR_COLUMNS - done), colours[Ink.DIM])


def between(left: list[Run], right: Run, columns: int) -> Content:
    """Left-hand runs cut short where they must be, the right-hand one whole at the edge."""
    room = columns - len(right[0]) - 1
    kept: list[Run] = []
    for text, style in left:
        cut = text if len(text) <= room else text[: max(0, room - 1)] + "~"
        if room > 0:
            kept.append((cut, style))
        room -= len(cut)
    gap = " " * max(1, room + 1)
    return Content.assemble(*kept, gap, right)


def card(bench: BenchView, now: float, columns: int, rows: int, glyphs: Glyphs) -> Content:
    """The card in two rows, or in three or four with the picture beside it."""
    picture = helper_picture(bench.helper, rows, glyphs) if rows > 2 else ()
    width = columns - (2 * rows + 1 if picture else 0)
    lines = _close_lines(bench, now, width, glyphs) if rows < 3 else _lines(bench, now, width, rows, glyphs)
    if picture:
        lines = [Content.assemble(sign, " ", line) for sign, line in zip(picture, lines, strict=True)]
    return Content("\n").join(lines)


def _lines(bench: BenchView, now: float, width: int, rows: int, glyphs: Glyphs) -> list[Content]:
    """Three, or four where the last pair may have the width to itself."""
    helper = ", ".join(part for part in (telling.helper_of(bench), telling.place_of(bench)) if part) + " "
    metal = COLOURS[glyphs][Ink.METAL]
    link, made = _link(bench, now, glyphs), (telling.done_of(bench), metal)
    room = rows > 3
    last = _last(bench, "last: ", telling.verdict_of(bench) if room else telling.last_of(bench), glyphs)
    cause = (for_terminal(telling.cause_of(bench), glyphs), _failed(glyphs))
    return [
        _work(bench, now, width, glyphs),
        between([("  ", ""), (helper, metal), *bar(bench, glyphs)], link, width),
        # a verdict is not cut short for the sake of a count
        between([("  ", ""), last], made if len(last[0]) + len(made[0]) + 3 <= width else ("", ""), width),
        *([between([("  ", ""), cause], ("", ""), width)] if room else []),
    ]


def _close_lines(bench: BenchView, now: float, width: int, glyphs: Glyphs) -> list[Content]:
    """The same without the bar; who is connected is told by the sign at the head alone."""
    place = f" {bench.place}/{bench.places}" if bench.places > 1 else ""
    helper = f"{telling.helper_of(bench)}{place}  "
    link = ("", "") if bench.connected and bench.asked_at is None else _link(bench, now, glyphs)
    runs = [
        ("  ", ""),
        (helper, COLOURS[glyphs][Ink.METAL]),
        _last(bench, "last: ", telling.last_of(bench), glyphs),
    ]
    return [_work(bench, now, width, glyphs), between(runs, link, width)]


def _work(bench: BenchView, now: float, width: int, glyphs: Glyphs) -> Content:
    colours = COLOURS[glyphs]
    late = telling.is_late(bench, now)
    time = (telling.time_of(bench, now), f"bold {colours[Ink.LIT]}" if late else colours[Ink.LINE])
    name = (f" {bench.name}", "bold")
    work = (f" {telling.work_of(bench)}", colours[Ink.LINE])
    return between([state_of(bench, now, glyphs), name, work], time, width)


def _link(bench: BenchView, now: float, glyphs: Glyphs) -> Run:
    colours = COLOURS[glyphs]
    if not bench.connected:
        return (telling.connection_of(bench, now), f"bold {colours[Ink.WRONG]}")
    if bench.asked_at is not None:
        return ("ASKS THE SUPERVISOR", f"bold reverse {colours[Ink.WAIT]}")
    return (telling.connection_of(bench, now), colours[Ink.METAL])


def _last(bench: BenchView, word: str, told: str, glyphs: Glyphs) -> Run:
    if bench.trouble:
        return (bench.trouble, _failed(glyphs))
    passed = bench.verdict is None or bench.verdict.passed
    return (f"{word}{for_terminal(told, glyphs)}", "" if passed else _failed(glyphs))


def _failed(glyphs: Glyphs) -> str:
    return f"bold {COLOURS[glyphs][Ink.WRONG]}"


class BenchCard(Widget):
    """Call `show` with every view; its height says how much there is room for."""

    def __init__(self, bench: BenchView, now: float, glyphs: Glyphs) -> None:
        super().__init__(classes="card")
        self._glyphs = glyphs
        self.bench, self._now = bench, now

    def show(self, bench: BenchView, now: float) -> None:
        self.bench, self._now = bench, now
        self.refresh()

    def render(self) -> Content:
        width, height = self.content_size
        if width < 1 or height < 1:
            return Content("")
        return card(self.bench, self._now, width, min(4, height), self._glyphs)
