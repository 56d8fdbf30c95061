"""What the hub knows of one bench: its record folded, and what only the connection tells."""

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final

from assistant.hub.protocol import SILENT_S, Mail
from assistant.hub.story import Story
from assistant.hub.tell import Seen, last_word
from assistant.journal.codec import FIRST_PREVIOUS

Post = Callable[[Mail | None], None]
"""Takes mail for a bench; None ends it."""

CLOCK_READINGS: Final = 8
"""A bench's clock that was set is believed after so many calls."""


@dataclass(slots=True)
class Known:
    story: Story
    hash: str = FIRST_PREVIOUS
    """Of the last line folded."""
    offset_s: float = 0.0
    """Board's clock less the bench's: the least of the last differences."""
    differences_s: deque[float] = field(default_factory=lambda: deque(maxlen=CLOCK_READINGS))
    heard_at: float | None = None
    """By the board's clock."""
    trouble: str = ""
    """Why its last lines were not taken, in a sentence; the supervisor sees it."""
    post: Post | None = None
    """Where its mail goes now; None while it does not listen."""

    def read_clock(self, difference_s: float) -> None:
        """A call's moment of arrival less its own time. Calls come late, never early: the least is nearest."""
        self.differences_s.append(difference_s)
        self.offset_s = min(self.differences_s)

    def connected(self, now: float) -> bool:
        """Heard a moment ago; a moment ahead of a clock that was set back since is as good as never."""
        return self.heard_at is not None and abs(now - self.heard_at) <= SILENT_S

    @property
    def last_word(self) -> float:
        """When something was last known of it, by the board's clock."""
        return last_word(self.story, self.offset_s, self.heard_at)

    def listens(self, post: Post, waiting: Iterable[Mail]) -> None:
        """Its mail goes to `post` from now on, what waits first; another's ends."""
        self.cut_off()
        self.post = post
        for mail in waiting:
            post(mail)

    def cut_off(self) -> None:
        if self.post is not None:
            self.post(None)
            self.post = None

    def hang_up(self, post: Post) -> None:
        """`post` takes no more; nothing happens if another took its place."""
        if self.post is post:
            self.post = None

    def seen(self, now: float, answered: int) -> Seen:
        """What the board shows of it; `answered` is the question whose answer waits, 0 for none."""
        connected = self.connected(now)
        return Seen(self.story, self.offset_s, connected, self.heard_at, answered, self.trouble)
