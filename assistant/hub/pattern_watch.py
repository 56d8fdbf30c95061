"""Finished lenses of all benches, and the patterns in them; looked for anew only when a lens came or went."""

from collections import deque
from collections.abc import Iterable
from typing import Final

from assistant.optics.patterns import AxisError, Pattern, patterns

MOST_ERRORS: Final = 4000
"""Finished lenses that patterns are looked for in, newest last."""
QUARTER_TURN_DEG: Final = 90.0


class PatternWatch:
    def __init__(self) -> None:
        self.errors: deque[AxisError] = deque(maxlen=MOST_ERRORS)
        self._found: tuple[Pattern, ...] | None = ()
        """None where lenses came or went since they were last looked at."""

    def take(self, errors: Iterable[AxisError]) -> None:
        before = len(self.errors)
        self.errors.extend(errors)
        if len(self.errors) != before or before == MOST_ERRORS:
            self._found = None

    def forget(self, bench: str) -> None:
        self.errors = deque((one for one in self.errors if one.bench != bench), maxlen=MOST_ERRORS)
        self._found = None

    def found(self) -> tuple[Pattern, ...]:
        if self._found is None:
            self._found = patterns(one for one in self.errors if abs(one.error_deg) <= QUARTER_TURN_DEG)
        return self._found
