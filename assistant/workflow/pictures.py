"""What each step shows, as frozen numbers. `assistant.ui.pictures` draws them; nothing here draws.

Front view, degrees anticlockwise from the viewer's right, lengths in millimetres, powers in dioptres.
Pictures of blind steps carry only what the helper has already entered, never what is expected.
"""

from dataclasses import dataclass
from enum import StrEnum

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.workflow.events import Room
from assistant.workflow.plan import Verdict

Entered = tuple[tuple[str, float], ...]
"""Entries of this step so far, as (field name, value)."""


class SideUp(StrEnum):
    """Which face of the lens looks at the helper."""

    CURVED = "curved"
    HOLLOW = "hollow"


class Outcome(StrEnum):
    """How the last entry turned out. Values agree with `effects.Tone`."""

    RIGHT = "right"
    WRONG = "wrong"
    WAIT = "wait"


# start of day


@dataclass(frozen=True, slots=True)
class ClosedPicture:
    """The day has not been opened."""


@dataclass(frozen=True, slots=True)
class HelperPicture:
    choices: int
    """How many helpers there are, each with a sign and a number from 1."""


@dataclass(frozen=True, slots=True)
class LanguagePicture:
    choices: tuple[str, ...]
    """Language codes in the order of their numbers; the screen shows each greeting by number and voice."""


@dataclass(frozen=True, slots=True)
class SoundPicture:
    """Do you hear it: yes or no."""


@dataclass(frozen=True, slots=True)
class VoicePicture:
    """Say this number; how many are said. With no number: the room is too loud, the keypad comes first."""

    number: str | None
    room: Room | None
    said: int
    wanted: int


@dataclass(frozen=True, slots=True)
class ZeroPicture:
    """The focimeter with nothing on it."""

    entered: Entered = ()


@dataclass(frozen=True, slots=True)
class ReferencePicture:
    """The focimeter with the kit's reference lens on it, hollow side on the stop."""

    field: str
    entered: Entered = ()


@dataclass(frozen=True, slots=True)
class IndexPicture:
    """The bare protractor, its reference line along 180 and its nasal index where this kit draws it."""

    nasal_index: NasalIndex
    depression_deg: float
    """How far below the horizontal the pin lies, seen from the lens centre."""


@dataclass(frozen=True, slots=True)
class CutterPicture:
    """The cutter and its battery: ready or not."""


# one pair


@dataclass(frozen=True, slots=True)
class WaitingOrder:
    number: int
    """The key that takes it up, from 1."""
    case: str
    near: bool = False


@dataclass(frozen=True, slots=True)
class OrderPicture:
    waiting: tuple[WaitingOrder, ...]


@dataclass(frozen=True, slots=True)
class KeyOrderPicture:
    """An order being keyed in; `eye` is None for what belongs to the pair."""

    field: str
    eye: Eye | None = None


@dataclass(frozen=True, slots=True)
class PlanPicture:
    verdict: Verdict
    frame_mm: float | None
    """Distance between the frame's optical centres. None: no frame will do."""
    right_pocket: int | None
    left_pocket: int | None
    """None: no lens for that eye."""


@dataclass(frozen=True, slots=True)
class TrayPicture:
    """Pockets are numbered from 1, row by row from the top left, tray after tray."""

    eye: Eye
    pocket: int
    columns: int
    rows: int


@dataclass(frozen=True, slots=True)
class FocimeterPicture:
    """A reading. `in_rim` once the lens is in its frame; nothing expected is shown."""

    eye: Eye
    field: str
    entered: Entered = ()
    in_rim: bool = False


@dataclass(frozen=True, slots=True)
class DotPicture:
    """Three dots along the focimeter's 180 line."""

    eye: Eye
    side_up: SideUp = SideUp.CURVED


@dataclass(frozen=True, slots=True)
class ProtractorPicture:
    eye: Eye
    setting_deg: float | None
    """Where the dotted line goes, 1 to 180. None: no cylinder, the lens may lie anyhow."""
    index_on_centre_line: bool
    depression_deg: float
    side_up: SideUp = SideUp.CURVED


@dataclass(frozen=True, slots=True)
class SlotPicture:
    """The lens edge in cross-section, the slot in it, and the depths between which it must end."""

    eye: Eye
    depth_mm: float | None
    """None before the first measurement."""
    least_mm: float
    aimed_mm: float
    most_mm: float
    width_mm: float
    pin_diameter_mm: float


@dataclass(frozen=True, slots=True)
class PinPicture:
    """The pin in the slot that was measured, in cross-section."""

    eye: Eye
    slot_depth_mm: float
    wanted_mm: float
    measured_mm: float | None
    least_engagement_mm: float
    clearance_mm: float


@dataclass(frozen=True, slots=True)
class FitPicture:
    eye: Eye
    pin_bearing_deg: float
    side_up: SideUp = SideUp.CURVED


@dataclass(frozen=True, slots=True)
class SidePicture:
    """Does the lens in its rim have its curved side outwards: yes or no."""

    eye: Eye


@dataclass(frozen=True, slots=True)
class DistancePicture:
    """The finished pair against the rule, blind. `field` is centres or height."""

    field: str
    entered: Entered = ()


@dataclass(frozen=True, slots=True)
class EyeResult:
    eye: Eye
    passed: bool
    axis_error_deg: float | None
    """Signed, anticlockwise in front view. None where the axis does not count."""
    axis_window_deg: float | None
    power_error_d: float
    """The sphere or cylinder error that is worst against its window, signed."""
    power_window_d: float
    cause: str | None = None
    """Likeliest cause code of a failure."""
    rescue: str | None = None
    """Rescue kind; second_slot comes with `turn_deg`."""
    turn_deg: float | None = None
    """From the old slot to the new one, signed, anticlockwise in front view."""
    rival: str | None = None
    """Code of a second cause that explains the reading as well."""


@dataclass(frozen=True, slots=True)
class VerdictPicture:
    passed: bool
    right: EyeResult | None
    left: EyeResult | None
    """None: no lens was made for that eye."""
    centres_passed: bool = True
    height_passed: bool = True
    faults: tuple[str, ...] = ()
    """Codes of what is wrong with the pair although its lenses are right."""


@dataclass(frozen=True, slots=True)
class RescuePicture:
    eye: Eye
    old_slot_bearing_deg: float
    new_slot_bearing_deg: float
    """Both in the lens as it lies for the new slot, front view."""
    setting_deg: float | None


@dataclass(frozen=True, slots=True)
class WearerPicture:
    """The spectacles on the wearer. `field` is comfortable or acuity."""

    field: str


@dataclass(frozen=True, slots=True)
class HandOverPicture:
    case: str


@dataclass(frozen=True, slots=True)
class AccountPicture:
    """A pair given up: is this eye's lens whole, or broken?"""

    eye: Eye
    pocket: int | None = None


@dataclass(frozen=True, slots=True)
class SupervisorPicture:
    question: str
    """plan, help, wearer or stuck."""


@dataclass(frozen=True, slots=True)
class OutcomePicture:
    outcome: Outcome


Picture = (
    ClosedPicture
    | HelperPicture
    | LanguagePicture
    | SoundPicture
    | VoicePicture
    | ZeroPicture
    | ReferencePicture
    | IndexPicture
    | CutterPicture
    | OrderPicture
    | KeyOrderPicture
    | PlanPicture
    | TrayPicture
    | FocimeterPicture
    | DotPicture
    | ProtractorPicture
    | SlotPicture
    | PinPicture
    | FitPicture
    | SidePicture
    | DistancePicture
    | VerdictPicture
    | RescuePicture
    | WearerPicture
    | HandOverPicture
    | AccountPicture
    | SupervisorPicture
    | OutcomePicture
)
