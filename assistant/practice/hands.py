"""Hands and eyes: when a slip happens, how steady the hand is, what the eye makes of a reading."""

import math
from dataclasses import dataclass, replace
from random import Random

from assistant.optics.eye import Eye
from assistant.practice.bench import FocimeterThing, Reading
from assistant.practice.lens import Matrix, principal, rotation
from assistant.practice.slips import MISREADINGS, Rates, Slip, turned_round

LEAST_CYLINDER_D = 0.1
"""A weaker cylinder has no axis that an eye could find."""


@dataclass(frozen=True, slots=True)
class Happened:
    slip: Slip
    eye: Eye | None


class Hands:
    """One helper's hands. `plant` happens once, at its first opportunity (for `plant_eye`, if given)."""

    def __init__(self, chance: Random, rates: Rates, plant: Slip | None, plant_eye: Eye | None) -> None:
        self.chance, self.rates = chance, rates
        self._plant, self._plant_eye = plant, plant_eye
        self.happened: list[Happened] = []

    @property
    def planted(self) -> bool:
        """Whether the planted slip has happened, or none was planted."""
        return self._plant is None

    @property
    def to_come(self) -> Slip | None:
        """The planted slip, until it has happened."""
        return self._plant

    def slips(self, slip: Slip, eye: Eye | None = None) -> bool:
        """Whether this slip happens now; kept in `happened` if so."""
        drawn = self.chance.random() < self.rates.chance_of.get(slip, 0.0)
        wanted = slip is self._plant and self._plant_eye in (None, eye)
        if wanted:
            self._plant = None
        if drawn or wanted:
            self.happened.append(Happened(slip, eye))
        return drawn or wanted

    def miss_deg(self) -> float:
        """How far a hand misses a line, most often hardly at all."""
        return self.chance.triangular(-self.rates.hand_deg, self.rates.hand_deg)

    def axis_miss_deg(self, overlooked_d: float, cylinder_d: float) -> float:
        """How far off an eye takes the axis of a cylinder for sharp."""
        if not overlooked_d or abs(cylinder_d) < LEAST_CYLINDER_D:
            return 0.0
        return self.chance.gauss(0.0, math.degrees(overlooked_d / abs(cylinder_d)))

    def read(self, focimeter: FocimeterThing, power: Matrix, eye: Eye) -> Reading:
        """A lens as it lies on the focimeter, as this helper reads it."""
        more, less, _ = principal(power)
        overlooked = self.rates.reading_d
        turned = rotation(self.axis_miss_deg(overlooked, more - less))
        blurred = focimeter
        if overlooked:
            off = focimeter.power_off_d + self.chance.gauss(0.0, overlooked)
            blurred = replace(focimeter, power_off_d=off)
        return self._misread(blurred.reads(turned @ power @ turned.T), eye, focimeter.power_step_d)

    def _misread(self, reading: Reading, eye: Eye, step_d: float) -> Reading:
        slip = next(
            (slip for slip in MISREADINGS[:-1] if self._can(slip, reading) and self.slips(slip, eye)), None
        )
        match slip:
            case Slip.READ_SIGN:
                return replace(reading, sphere=-reading.sphere)
            case Slip.READ_STEP:
                return replace(reading, sphere=reading.sphere + self.chance.choice((-step_d, step_d)))
            case Slip.READ_AXIS_TEN:
                axis = (self._axis(reading) + self.chance.choice((-10, 10))) % 180 or 180
                return replace(reading, axis=float(axis))
            case Slip.READ_AXIS_DIGITS:
                return replace(reading, axis=float(self.chance.choice(turned_round(self._axis(reading)))))
            case _:
                return reading

    @staticmethod
    def _axis(reading: Reading) -> int:
        return round(reading.axis or 180.0)

    def _can(self, slip: Slip, reading: Reading) -> bool:
        """Whether there is anything to misread so."""
        match slip:
            case Slip.READ_SIGN:
                return reading.sphere != 0.0
            case Slip.READ_AXIS_TEN:
                return reading.axis is not None
            case Slip.READ_AXIS_DIGITS:
                return reading.axis is not None and bool(turned_round(self._axis(reading)))
            case _:
                return True
