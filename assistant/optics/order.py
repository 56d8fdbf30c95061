"""What the clinician handed over: one order for one person's pair, exactly as written."""

from dataclasses import dataclass
from enum import StrEnum

from assistant.optics.eye import Eye
from assistant.optics.power import Power


class EyeKind(StrEnum):
    POWER = "power"
    BALANCE = "balance"
    """The eye does not see: a lens that looks like its fellow, whose power is not checked."""
    NONE = "none"
    """No lens is made for this eye."""


class Purpose(StrEnum):
    FAR = "far"
    NEAR = "near"


@dataclass(frozen=True, slots=True)
class EyeOrder:
    """One eye. `power` is kept in the form it was written in; None unless kind is POWER."""

    power: Power | None
    kind: EyeKind = EyeKind.POWER


@dataclass(frozen=True, slots=True)
class Order:
    """One pair. Distances in millimetres.

    `pd_mm` is the distance between the pupils looking far away; `right_pd_mm` and `left_pd_mm`, when
    given, are measured from the middle of the nose and add up to it. `near_pd_mm` only if it was measured.
    """

    right: EyeOrder
    left: EyeOrder
    pd_mm: float
    right_pd_mm: float | None = None
    left_pd_mm: float | None = None
    refraction_vertex_mm: float | None = None
    """None: the refraction was made at the kit's own fitted distance."""
    purpose: Purpose = Purpose.FAR
    near_pd_mm: float | None = None
    child: bool = False
    case: str = ""
    """A case number. Never a name."""

    def eye(self, eye: Eye) -> EyeOrder:
        return self.right if eye is Eye.RIGHT else self.left
