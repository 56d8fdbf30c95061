"""A gauge as a bar of characters, drawn to scale. Pure."""

from typing import Final, NamedTuple

from assistant.replay.gauge import Gauge
from assistant.ui.glyphs import Glyphs, for_terminal

LEAST_COLUMNS: Final = 9
NAME_COLUMNS: Final = 19
OUT: Final = "OUT of"
WORDS_COLUMNS: Final = 32
"""What stands after the bar, so that bars under each other are of one length."""
_MARGIN: Final = 0.08
"""Of the span, left free at either side of what is drawn."""


class _Signs(NamedTuple):
    outside: str
    inside: str
    opens: str
    closes: str
    narrow: str
    """A window of less than two columns."""
    aim: str
    value: str


_FINE: Final = _Signs("·", "─", "├", "┤", "‖", "┼", "●")
_PLAIN: Final = _Signs(".", "-", "[", "]", "H", "+", "*")


def bar(gauge: Gauge, columns: int, glyphs: Glyphs) -> str:
    """The window between its brackets, the aim across it, the reading as a dot; `columns` characters.

    Raises `ValueError` for fewer columns than can be read.
    """
    if columns < LEAST_COLUMNS:
        raise ValueError(f"a bar of {columns} columns; allowed are {LEAST_COLUMNS} or more")
    signs = _PLAIN if glyphs is Glyphs.ASCII else _FINE
    first, span = scale(gauge)
    places = {
        name: round((value - first) / span * (columns - 1))
        for name, value in (
            ("low", gauge.low),
            ("high", gauge.high),
            ("aim", gauge.aim),
            ("value", gauge.value),
        )
        if value is not None
    }
    low, high = places.get("low", 0), places["high"]
    drawn = [signs.inside if low < column < high else signs.outside for column in range(columns)]
    if "aim" in places:
        drawn[places["aim"]] = signs.aim
    if "low" in places:
        drawn[low] = signs.opens
    drawn[high] = signs.narrow if "low" in places and low == high else signs.closes
    drawn[places["value"]] = signs.value
    return "".join(drawn)


def line(gauge: Gauge, columns: int, glyphs: Glyphs) -> str:
    """Name, bar, reading, whether it is within, and the window; `columns` characters if there are enough."""
    low = "" if gauge.low is None else figure(gauge.low, gauge)
    figures = for_terminal(f"{figure(gauge.value, gauge)} {gauge.unit}".strip(), glyphs)
    words = f" {figures:>9} {'in' if gauge.within else OUT} {low}..{figure(gauge.high, gauge)}"
    room = columns - NAME_COLUMNS - max(WORDS_COLUMNS, len(words))
    return f"{gauge.name:<{NAME_COLUMNS}}{bar(gauge, max(LEAST_COLUMNS, room), glyphs)}{words}"


def scale(gauge: Gauge) -> tuple[float, float]:
    """The value at the first column, and how much the whole bar spans."""
    shown = [value for value in (gauge.low, gauge.high, gauge.aim, gauge.value) if value is not None]
    if gauge.low is None:
        shown.append(0.0)
    span = max(shown) - min(shown) or 1.0
    return min(shown) - span * _MARGIN, span * (1.0 + 2.0 * _MARGIN)


def figure(value: float, gauge: Gauge) -> str:
    """As the trade writes it: powers with their sign and two places, three where the third is not nought; the rest
    to two at most, errors with their sign.
    """
    power = gauge.unit == "D"
    signed = "+" if power or gauge.name.endswith("off") else ""
    text = f"{value:{signed}.{3 if power else 2}f}"
    text = text.removesuffix("0") if power else text.rstrip("0").rstrip(".")
    return text if float(text) else text.lstrip("+-")
