"""The steps of the job as a trail of small pictures: done, now, still to come."""

from textual.content import Content
from textual.widget import Widget

from assistant.optics.eye import Eye
from assistant.ui.glyphs import COLOURS, Glyphs
from assistant.ui.shapes import Ink

Stop = tuple[str, Eye | None]
"""A step id and the eye it is done for."""

SIGNS: dict[str, tuple[str, str]] = {
    "helper": ("☺", "h"),
    "language": ("≈", "~"),
    "sound": ("♪", "s"),
    "voice": ("∿", "v"),
    "zero": ("○", "0"),
    "reference": ("★", "*"),
    "index": ("∠", "<"),
    "cutter": ("⚙", "c"),
    "order": ("≡", "="),
    "key_order": ("✎", "k"),
    "plan": ("∞", "8"),
    "fetch": ("▦", "#"),
    "read": ("◎", "o"),
    "dot": ("⋯", ":"),
    "mark": ("∡", "/"),
    "cut": ("⊔", "u"),
    "trim": ("┬", "T"),
    "fit": ("⊙", "@"),
    "side": ("⌒", "n"),
    "check": ("⊕", "+"),
    "distance": ("↔", "-"),
    "verdict": ("△", "A"),
    "wearer": ("☻", "w"),
    "hand_over": ("→", ">"),
    "account": ("◌", "?"),
    "supervisor": ("‖", "!"),
}
"""One sign for each step: for terminals with a full font, and in ASCII."""
_LINES = {False: ("━", "─"), True: ("=", "-")}
"""By whether it is plain ASCII: the line after a step that is done, and after one still to come."""
_EYES = {Eye.RIGHT: ("◐", "("), Eye.LEFT: ("◑", ")")}
"""Where an eye's own steps begin: the worked half is filled, as the viewer sees the wearer."""


def trail(stops: tuple[Stop, ...], now: int, columns: int, glyphs: Glyphs) -> list[tuple[str, Ink]]:
    """The trail as (text, ink) runs of at most `columns` characters in all.

    Stops before `now` are joined by a heavy line, the current one is bracketed, later ones are joined by a
    light one. Where the whole does not fit, the part around the current stop is shown.

    Raises:
        ValueError: `now` is no stop, or a stop is no step.
    """
    if not 0 <= now < len(stops):
        raise ValueError(f"stop {now} of a trail of {len(stops)}")
    runs = [_stop(stops, place, now, glyphs) for place in range(len(stops))]
    first, last = _fitting([len(text) for text, _ in runs], now, columns)
    return runs[first:last]


def _stop(stops: tuple[Stop, ...], place: int, now: int, glyphs: Glyphs) -> tuple[str, Ink]:
    plain = glyphs is Glyphs.ASCII
    step, eye = stops[place]
    if step not in SIGNS:
        raise ValueError(f"no sign for step {step!r}; there are {', '.join(SIGNS)}")
    sign = SIGNS[step][plain]
    begins = eye is not None and (place == 0 or stops[place - 1][1] is not eye)
    mark = _EYES[eye][plain] if eye is not None and begins else ""
    if place == now:
        return (f"{mark}[{sign}]", Ink.LIT)
    line = _LINES[plain][place > now]
    return (f"{mark}{sign}{line}", Ink.DIM if place > now else Ink.RIGHT)


def _fitting(widths: list[int], now: int, columns: int) -> tuple[int, int]:
    """The longest run of stops about `now` that fits, as first and one past the last."""
    first, last, used = now, now + 1, widths[now]
    while True:
        after = last < len(widths) and used + widths[last] <= columns
        before = first > 0 and used + widths[first - 1] <= columns
        if after and (last - now <= now - first or not before):
            used += widths[last]
            last += 1
        elif before:
            first -= 1
            used += widths[first]
        else:
            return first, last


class Trail(Widget):
    """Set `show(stops, now)` at every step."""

    DEFAULT_CSS = "Trail { width: 1fr; height: 1; }"

    def __init__(self, glyphs: Glyphs, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._glyphs = glyphs
        self._stops: tuple[Stop, ...] = ()
        self._now = 0

    def show(self, stops: tuple[Stop, ...], now: int) -> None:
        """Show where in the job the helper stands; no stops: nothing."""
        self._stops, self._now = stops, now
        self.refresh()

    def render(self) -> Content:
        if not self._stops:
            return Content("")
        runs = trail(self._stops, self._now, self.content_size.width, self._glyphs)
        colours = COLOURS[self._glyphs]
        # Content.assemble, not markup: the brackets are part of the trail.
        return Content.assemble(*((text, colours[ink]) for text, ink in runs))
