"""The things on a bench: focimeter, protractor, tray, frame. What they do follows from where things lie."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from random import Random

import numpy as np

from assistant.kit.profile import Kit, NasalIndex
from assistant.optics.eye import Eye
from assistant.practice.lens import (
    FACE_UP,
    Lens,
    Matrix,
    Vector,
    ground,
    pose_bringing,
    principal,
    rotation,
    towards,
)

MAKER_D = 0.04
"""How far a lens may be from its pocket's label in each meridian, evenly spread. Assumed, no source."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a focimeter shows, minus form, dioptres and whole steps of its scales."""

    sphere: float
    cylinder: float
    axis: float | None
    """1 to 180; None where no cylinder shows."""


@dataclass(frozen=True, slots=True)
class FocimeterThing:
    """Its drum and its axis scale, each with a fixed error (reading minus truth)."""

    power_step_d: float
    axis_step_deg: float
    power_off_d: float = 0.0
    axis_off_deg: float = 0.0

    def reads(self, power: Matrix) -> Reading:
        """The lens as it lies on the stop, to the steps of the scales."""
        more, less, direction = principal(power)
        drums = [_stepped(p + self.power_off_d, self.power_step_d) for p in (more, less)]
        axis = _stepped(direction + self.axis_off_deg, self.axis_step_deg) % 180.0 or 180.0
        cylinder = drums[1] - drums[0]
        return Reading(drums[0], cylinder, axis if cylinder else None)

    @property
    def marked_along(self) -> Vector:
        """Where a minus axis truly lies once it reads 180 under the marking pens."""
        return towards(180.0 - self.axis_off_deg)


@dataclass(frozen=True, slots=True)
class ProtractorThing:
    """Its scale (reading minus truth) and where its two nasal indexes are drawn, as points of the edge."""

    off_deg: float
    right_index: Vector
    left_index: Vector

    def index(self, eye: Eye) -> Vector:
        return self.right_index if eye is Eye.RIGHT else self.left_index


@dataclass(slots=True)
class Rim:
    """One rim of a frame: where its pin stands, how long the pin is, and the lens in it."""

    pin_at: Vector
    pin_mm: float
    lens: Lens | None = None
    pose: Matrix = field(default_factory=lambda: FACE_UP)


def pin_point(eye: Eye, drop_mm: float, radius_mm: float) -> Vector:
    """Where the pin touches the edge: `drop_mm` below the middle, on the nose's side."""
    out = math.sqrt(radius_mm**2 - drop_mm**2)
    return np.array([out if eye is Eye.RIGHT else -out, -drop_mm]) / radius_mm


@dataclass(frozen=True, slots=True)
class Errors:
    """Fixed errors of the instruments, reading minus truth."""

    power_d: float = 0.0
    axis_deg: float = 0.0
    scale_deg: float = 0.0


class BenchThings:
    """Everything that lies on one bench. What is random about it (the factory) comes from `chance`."""

    def __init__(self, kit: Kit, chance: Random, errors: Errors = Errors()) -> None:
        self.kit, self.chance = kit, chance
        step = kit.focimeter
        self.focimeter = FocimeterThing(
            step.power_step_d, step.axis_step_deg, errors.power_d, errors.axis_deg
        )
        pins = {eye: pin_point(eye, kit.pin.drop_mm, kit.lens.radius_mm) for eye in Eye}
        self.pins: Mapping[Eye, Vector] = pins
        at_pin = kit.protractor.nasal_index is NasalIndex.AT_PIN
        right, left = (pins[eye] if at_pin else towards(0.0 if eye is Eye.RIGHT else 180.0) for eye in Eye)
        self.protractor = ProtractorThing(errors.scale_deg, right, left)
        self.strays: dict[int, list[int]] = {}
        """Pocket to the pockets whose lenses were put into it by mistake, the topmost last."""
        self.opened: int | None = None
        """The pocket that was opened last."""
        self.in_hand: dict[Eye, Lens] = {}
        self.lying: dict[Eye, Matrix] = {}
        """How each lens lay when it was last dotted or ticked."""
        self.rims: dict[Eye, Rim] = {}
        self.centres_mm = 0.0
        self.height_mm = 0.0

    def take_frame(self, centres_mm: float) -> None:
        """A frame with untrimmed pins; its lenses, where there are any, come out."""
        self.rims = {eye: Rim(self.pins[eye], self.kit.pin.length_mm) for eye in Eye}
        self.centres_mm = centres_mm
        self.height_mm = 0.0

    def take_lens(self, eye: Eye, pocket: int) -> None:
        """The topmost lens of a pocket: the pocket's own, unless a stray lies on it."""
        stray = self.strays.get(pocket)
        row = self.kit.bank.row_of(stray.pop() if stray else pocket)
        off = [self.chance.uniform(-MAKER_D, MAKER_D) for _ in range(2)]
        sphere, cylinder = float(self.kit.bank.sphere[row]), float(self.kit.bank.cylinder[row])
        lens = ground(sphere, cylinder, pocket)
        bent = off[:1] * 2 if cylinder == 0.0 else off
        self.in_hand[eye] = replace(lens, power=lens.power + np.diag(bent))
        if eye in self.rims:
            self.rims[eye].lens = None

    def printed(self, pocket: int) -> str:
        """The check number printed on a pocket."""
        return self.kit.bank.check_number[self.kit.bank.row_of(pocket)]

    def has_pocket(self, pocket: int) -> bool:
        return bool(np.any(self.kit.bank.pocket == pocket))

    def fit(self, eye: Eye, face: Matrix = FACE_UP, turned_deg: float = 0.0) -> None:
        """Lens in the rim, its newest slot on the pin; `turned_deg` from there if nothing holds it."""
        lens, rim = self.in_hand[eye], self.rims[eye]
        seated = pose_bringing(lens.slots[-1].middle, rim.pin_at, face)
        rim.lens, rim.pose = lens, rotation(turned_deg) @ seated

    def play_deg(self) -> float:
        """How far the slot lets a lens turn on its pin, to either side."""
        spare = self.kit.slot.width_mm - self.kit.pin.diameter_mm
        return math.degrees(spare / 2.0 / self.kit.lens.radius_mm)

    def worn(self, eye: Eye) -> Matrix:
        """The true power of the finished lens, front view, dioptres."""
        rim = self.rims[eye]
        if rim.lens is None:
            raise ValueError(f"no lens is in the {eye.value} rim")
        return rim.lens.seen(rim.pose)


def _stepped(value: float, step: float) -> float:
    """To the nearest mark of a scale."""
    return round(value / step) * step
