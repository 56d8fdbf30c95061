"""The plan of a pair, worked out before a lens is touched: values only. `planning.py` makes them."""

from dataclasses import dataclass
from enum import StrEnum

from assistant.optics.eye import Eye
from assistant.optics.power import Power


class Verdict(StrEnum):
    MAKE = "make"
    ASK = "ask"
    """The supervisor must say yes first."""
    RETURN = "return"
    """Send back to the clinician."""


class Grade(StrEnum):
    EXACT = "exact"
    SUBSTITUTE = "substitute"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Reason:
    code: str
    """Also the suffix of the prompt id `reason-<code>`."""
    text: str


@dataclass(frozen=True, slots=True)
class ChosenLens:
    sphere: float
    cylinder: float
    pocket: int
    check_number: str


@dataclass(frozen=True, slots=True)
class EyePlan:
    eye: Eye
    ordered: Power | None
    needed: Power | None
    """The order moved to the fitted vertex distance, minus form. None: no lens for this eye."""
    lens: ChosenLens | None
    grade: Grade
    mean_error_d: float | None
    """Needed minus lens."""
    blur_d: float | None
    target: Power | None
    """What the finished lens must read: the lens's own powers at the needed axis."""
    slot_bearing_deg: float
    scale_setting_deg: float | None
    """None where the needed power or the chosen lens has no cylinder: the slot may sit anywhere."""
    setting_rounding_deg: float
    """Axis error caused by rounding the setting to the protractor's step."""
    axis_window_deg: float | None
    """Axis tolerance of the finished lens, plus or minus."""
    edge_thickness_mm: float | None
    """At the nasal edge where the slot goes."""
    stands_proud: bool
    balance: bool = False


@dataclass(frozen=True, slots=True)
class FramePlan:
    centre_distance_mm: float
    horizontal_imbalance: float
    """Prism dioptres, both eyes added with their base directions, never negative."""
    base: str | None
    """"in", "out" or None where there is no horizontal prism."""
    vertical_imbalance: float
    within: bool


@dataclass(frozen=True, slots=True)
class Plan:
    verdict: Verdict
    reasons: tuple[Reason, ...]
    frame: FramePlan | None
    right: EyePlan
    left: EyePlan
    standard: str

    def eye(self, eye: Eye) -> EyePlan:
        return self.right if eye is Eye.RIGHT else self.left
