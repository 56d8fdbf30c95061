"""The sentences under the picture. What is longer than its rows is turned over page by page, round and round."""

from textwrap import wrap
from typing import Final

from textual import events
from textual.timer import Timer
from textual.widgets import Static

ROWS: Final = 7
"""The rows that all captions together may take, so that the picture stays large; `bench.tcss` says the same."""
PAGE_S: Final = 5.0
"""Time to read a page."""
_MARK: Final = " (99/99)"


def pages(text: str, columns: int, rows: int) -> tuple[str, ...]:
    """The text in pages of at most `rows` lines of `columns` characters; a sentence is kept whole where it fits.

    One page is left as it is; several say which they are at their end.
    """
    if sum(max(1, len(wrap(line, columns))) for line in text.split("\n")) <= rows:
        return (text,)
    made: list[list[str]] = [[]]
    for sentence in text.split("\n"):
        lines = wrap(sentence, columns - len(_MARK)) or [""]
        if len(made[-1]) + len(lines) > rows and made[-1]:
            made.append([])
        for line in lines:
            if len(made[-1]) == rows:
                made.append([])
            made[-1].append(line)
    return tuple("\n".join(page) + f" ({n}/{len(made)})" for n, page in enumerate(made, 1))


class CaptionView(Static):
    """Tells a text of any length in the rows it has."""

    _text, _page = "", 0
    _turning: Timer | None = None

    def tell(self, text: str) -> None:
        """From its first page."""
        if self._turning is not None:
            self._turning.stop()
        self._text, self._page = text, 0
        self._turning = self.set_interval(PAGE_S, self._turn) if len(self._pages) > 1 else None
        self._lay()

    def on_resize(self, event: events.Resize) -> None:
        self._lay()

    @property
    def _pages(self) -> tuple[str, ...]:
        taken = sum(1 for other in self.siblings if other.display)
        return pages(self._text, max(20, self.app.size.width - 2), max(1, ROWS - taken))

    def _turn(self) -> None:
        self._page += 1
        self._lay()

    def _lay(self) -> None:
        made = self._pages
        self.update(made[self._page % len(made)])
