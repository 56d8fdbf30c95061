"""Which eye, and the signs that follow from it.

Front view everywhere: the viewer faces the wearer, angles run anticlockwise from the viewer's right
(ISO 8429:1986), so the right eye's nasal side lies at 0 degrees and the left eye's at 180.
"""

from enum import StrEnum


class Eye(StrEnum):
    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> "Eye":
        return Eye.LEFT if self is Eye.RIGHT else Eye.RIGHT

    @property
    def nasal_bearing_deg(self) -> float:
        """Front-view bearing of the nose seen from the lens centre: 0 right eye, 180 left eye."""
        return 0.0 if self is Eye.RIGHT else 180.0

    @property
    def nasal_sign(self) -> int:
        """+1 where nasal is towards the viewer's right (right eye), -1 where it is towards the left."""
        return 1 if self is Eye.RIGHT else -1
