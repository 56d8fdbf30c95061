"""Finished lenses of all benches, and the patterns in them; looked for anew when lenses came or went."""

from collections import deque
from collections.abc import Sequence
from typing import Final

from assistant.optics.patterns import AxisError, Pattern, patterns

MOST_ERRORS: Final = 4000
"""Finished lenses that patterns are looked for in, newest last."""
QUARTER_TURN_DEG: Final = 90.0


FEW: Final = 400
"""So many lenses are looked at in a moment."""
AGAIN_S: Final = 60.0
"""More of them no more often than this."""


class PatternWatch:
    def __init__(self) -> None:
        self.errors: deque[AxisError] = deque(maxlen=MOST_ERRORS)
        self._found: tuple[Pattern, ...] = ()
        self._stale = False
        """Lenses came or went since they were last looked at."""
        self._looked_at = 0.0

    def take(self, errors: Sequence[AxisError]) -> None:
        self.errors.extend(errors)
        self._stale = self._stale or bool(errors)

    def forget(self, bench: str) -> None:
        self.errors = deque((one for one in self.errors if one.bench != bench), maxlen=MOST_ERRORS)
        self._stale, self._looked_at = True, 0.0

    def found(self, now: float) -> tuple[Pattern, ...]:
        """At `now` by the board's clock; of many lenses as they were a minute ago at most."""
        due = len(self.errors) <= FEW or not 0.0 <= now - self._looked_at < AGAIN_S
        if self._stale and due:
            self._found = patterns(one for one in self.errors if abs(one.error_deg) <= QUARTER_TURN_DEG)
            self._stale, self._looked_at = False, now
        return self._found
