"""What lies on the bench beside the tool's picture. A real bench has it before the helper's eyes; practice
has to show it.
"""

from typing import Protocol

from assistant.ui.shapes import Scene


class Beside(Protocol):
    """Asked after every event."""

    @property
    def scene(self) -> Scene | None:
        """What lies there now; None where nothing does."""

    @property
    def alone(self) -> bool:
        """Whether it stands in place of the tool's picture."""

    @property
    def text(self) -> str:
        """The same in one line, by ids and figures, for plain mode; empty for nothing."""
