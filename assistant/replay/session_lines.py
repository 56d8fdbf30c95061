"""The parts of the session screen as lines of text, and their inks. No widgets in here."""

from textual.content import Content

from assistant.replay import telling
from assistant.replay.gauge_bar import OUT, line
from assistant.replay.listing import name_of
from assistant.replay.track import pointer, track
from assistant.replay.viewing import Viewing
from assistant.replay.wording import doing
from assistant.ui.glyphs import COLOURS, Glyphs, for_terminal
from assistant.ui.shapes import Ink

NOTE = "NOTE"
_INKS = {telling.WRONG: Ink.WRONG, OUT: Ink.WRONG, telling.DIFFERENT: Ink.WAIT, NOTE: Ink.LIT}
"""Sign in a line to its ink; the sign itself says the same."""


def head(viewing: Viewing, playing: bool, speed: float) -> str:
    """Which session, where in it, and whether it plays."""
    opened = viewing.opened
    state = f"{'PLAYING' if playing else 'stopped'} {speed:g}x"
    return f"{name_of(opened.path)}  {opened.bench} {viewing.day.date}  {telling.place(viewing)}  {state}"


def told(viewing: Viewing, english: bool) -> list[str]:
    """What came, what was wrong with it, and what the helper then heard."""
    moment = viewing.moment
    language = "en" if english else moment.language
    said = telling.said_lines(viewing, language)
    return [
        doing(moment.item),
        *telling.who_lines(viewing),
        *telling.event_lines(viewing),
        *telling.difference_lines(viewing),
        *([f"{NOTE} {viewing.note}"] if viewing.note else []),
        *([f"then said ({language}):"] if said else []),
        *said,
    ]


def gauges(viewing: Viewing, columns: int, most: int, glyphs: Glyphs) -> list[str]:
    """At most `most` readings and the time on the step, each bar as long as the others."""
    readings = telling.gauge_lines(viewing, columns, glyphs)
    if len(readings) > most:
        readings = [*readings[: most - 1], f"and {len(readings) - most + 1} more readings"]
    spent = telling.time_gauge(viewing)
    if spent is None:
        return [*readings, telling.time_line(viewing)]
    return [*readings, line(spent, columns, glyphs), telling.others_line(viewing)]


def track_lines(viewing: Viewing, columns: int, glyphs: Glyphs) -> list[str]:
    """The session as signs, and a pointer under where one stands."""
    first, last = viewing.day.first, viewing.day.last
    places = last - first + 1
    drawn = track(
        places,
        columns,
        glyphs,
        mistakes=[place - first for place in viewing.mistake_places],
        notes=[number - 1 - first for number in viewing.notes if first < number <= last + 1],
        different=[number - 1 - first for number in viewing.differing],
    )
    return [drawn, pointer(viewing.place - first, places, columns, glyphs)]


def styled(lines: list[str], glyphs: Glyphs, first: str = "") -> Content:
    """The lines with the ink of their sign; `first`: the style of a first line without one."""
    parts: list[str | tuple[str, str]] = []
    for number, text in enumerate(for_terminal(text, glyphs) for text in lines):
        ink = next((ink for sign, ink in _INKS.items() if sign in text), None)
        style = f"bold {COLOURS[glyphs][ink]}" if ink is not None else first if number == 0 else ""
        parts.append((text + "\n" * (number < len(lines) - 1), style))
    return Content.assemble(*parts)
