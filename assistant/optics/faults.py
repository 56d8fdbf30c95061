"""What each mistake at the bench would have produced: the lens as it would be read, mistake by mistake.

Front view, degrees; alpha is the pin's depression; A the axis ordered. Derived here from three motions of
the lens, each of which ends with the slot at the pin:

- Slot alpha above the pin (on the centre line): to bring it down to the pin the right lens turns by -alpha,
  the left by +alpha. Slot cut for the other side, or the lens made for the other eye: twice that.
- Lens face down: mirrored left to right, axis A becomes 180 - A and the slot goes to the other side, so the
  lens turns by -2 alpha (right) or +2 alpha (left) until its slot meets the pin. Marked face down and then
  worn curved side out gives the same.
- Anything set wrongly on the scale turns the lens by exactly what was set wrongly.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.optics.eye import Eye
from assistant.optics.power import Power, wrap_axis
from assistant.optics.slot import scale_setting_deg, to_step_deg


class CauseCode(StrEnum):
    """The mistakes in the order in which they are believed where two explain a reading equally well."""

    SLOT_ON_CENTRE_LINE = "slot_on_centre_line"
    CUT_FOR_OTHER_EYE = "cut_for_other_eye"
    LENSES_SWAPPED = "lenses_swapped"
    FACE_DOWN = "face_down"
    PLUS_AXIS_DOTTED = "plus_axis_dotted"
    SCALE_MISREAD_TEN = "scale_misread_ten"
    DIGITS_CONFUSED = "digits_confused"
    DIGITS_SWAPPED = "digits_swapped"
    SPHERE_SIGN = "sphere_sign"
    NEIGHBOUR_POCKET = "neighbour_pocket"
    TURNED_IN_RIM = "turned_in_rim"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Off:
    """Known errors of the instruments a lens is marked on, reading minus truth, degrees."""

    axis_deg: float = 0.0
    """Focimeter: a lens dotted where its axis reads 180 has its dots this much beyond its axis."""
    scale_deg: float = 0.0
    """Protractor."""


NOTHING_OFF: Final = Off()


@dataclass(frozen=True, slots=True)
class Marking:
    """How lenses are marked with this kit: the pin's depression and the protractor, degrees."""

    depression_deg: float
    index_on_centre_line: bool
    step_deg: float
    off: Off = NOTHING_OFF


@dataclass(frozen=True, slots=True)
class Task:
    """The lens that should have been made. `ordered` in the form it was written in; powers in dioptres."""

    ordered: Power
    eye: Eye
    marking: Marking
    other_eye: Power | None = None
    """The lens of the other eye of the same pair; None where there is none."""
    neighbours: Sequence[Power] = ()
    """Powers of the pockets beside the lens's own; axes are ignored."""

    @property
    def other_side_deg(self) -> float:
        """How far a slot cut for the other side turns this lens."""
        return -2.0 * self.eye.nasal_sign * self.marking.depression_deg


TEEN_OF_TEN: Final = {20: 12, 30: 13, 40: 14, 50: 15, 60: 16, 70: 17, 80: 18, 90: 19}
"""Numbers that are said alike. 15 heard as 50: PA Patient Safety Advisory, June 2006; the others of the
kind: common practice, no source.
"""


def confused_numbers(number: int) -> tuple[int, ...]:
    """The axes 1 to 180 that a spoken `number` may be taken for: 15 for 50, 115 for 150, and back."""
    hundred, rest = divmod(number, 100)
    twins = {**TEEN_OF_TEN, **{teen: ten for ten, teen in TEEN_OF_TEN.items()}}
    return _axes([hundred * 100 + twins[rest]] if rest in twins else [], number)


def swapped_digits(number: int) -> tuple[int, ...]:
    """The axes 1 to 180 got by exchanging two neighbouring digits of `number`: 17 to 71, 175 to 157."""
    digits = str(number)
    pairs = range(len(digits) - 1)
    return _axes([int(digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]) for i in pairs], number)


def _axes(numbers: Sequence[int], but: int) -> tuple[int, ...]:
    return tuple(number for number in numbers if 1 <= number <= 180 and number != but)


def predictions(task: Task) -> Iterator[tuple[CauseCode, Power]]:
    """Every mistake with the power and axis that it would have produced, minus form.

    One mistake may come several times (ten up, ten down). A lens turned in its rim is not here: it may
    lie at any axis.
    """
    lens = task.ordered.minus_form
    if lens.axis is not None:
        for code, axes in _AXIS_MISTAKES.items():
            yield from (
                (code, Power(lens.sphere, lens.cylinder, wrap_axis(a))) for a in axes(task, lens.axis)
            )
    yield from ((code, power.minus_form) for code, power in _power_mistakes(task, lens))


def _power_mistakes(task: Task, lens: Power) -> Iterator[tuple[CauseCode, Power]]:
    if task.other_eye is not None:
        yield CauseCode.LENSES_SWAPPED, task.other_eye.turned(task.other_side_deg)
        # exchanged before they were marked: the other lens, set to this eye's axis
        other = task.other_eye.minus_form
        if other.cylinder and lens.axis is not None:
            yield CauseCode.LENSES_SWAPPED, Power(other.sphere, other.cylinder, lens.axis)
    for form in dict.fromkeys((task.ordered, lens)):
        if form.sphere:
            yield CauseCode.SPHERE_SIGN, Power(-form.sphere, form.cylinder, form.axis)
    for other in task.neighbours:
        beside = other.minus_form
        yield CauseCode.NEIGHBOUR_POCKET, Power(beside.sphere, beside.cylinder, lens.axis or beside.axis)


def _heard(task: Task, axis: float, taken_for: Callable[[int], tuple[int, ...]]) -> list[float]:
    """Axes that follow where the order's axis, or the scale setting that was read out, was taken wrongly."""
    wrong = [float(number) for number in taken_for(round(axis))]
    setting = setting_deg(task, axis)
    if setting == round(setting):
        wrong += [axis + number - setting for number in taken_for(round(setting))]
    return wrong


def setting_deg(task: Task, axis_deg: float) -> float:
    """Where the dotted line goes on the protractor for an axis, known errors put in, degrees."""
    return marked_at_deg(task.marking, task.eye, axis_deg)


def marked_at_deg(by: Marking, eye: Eye, axis_deg: float) -> float:
    """The scale setting that a helper is told, so that the lens comes out true though instruments are off.

    To the protractor's step: the scale is off by one error, the dots by the other, since the lens was dotted
    with its axis reading 180 on the focimeter.
    """
    setting = scale_setting_deg(eye, axis_deg, by.depression_deg, by.index_on_centre_line, by.step_deg)
    return to_step_deg(wrap_axis(setting.exact_deg + by.off.axis_deg + by.off.scale_deg), by.step_deg)


def _face_down(task: Task, axis: float) -> list[float]:
    """Fitted face down; marked face down, where dots that lie beside the axis count twice the other way."""
    fitted = 180.0 - axis + task.other_side_deg
    beside = task.marking.off.axis_deg
    return [fitted, fitted - 2.0 * beside] if beside else [fitted]


_AXIS_MISTAKES: Final[dict[CauseCode, Callable[[Task, float], list[float]]]] = {
    CauseCode.SLOT_ON_CENTRE_LINE: lambda task, axis: [axis + task.other_side_deg / 2.0],
    CauseCode.CUT_FOR_OTHER_EYE: lambda task, axis: [axis + task.other_side_deg],
    CauseCode.FACE_DOWN: _face_down,
    CauseCode.PLUS_AXIS_DOTTED: lambda _, axis: [axis + 90.0],
    CauseCode.SCALE_MISREAD_TEN: lambda _, axis: [axis - 10.0, axis + 10.0],
    CauseCode.DIGITS_CONFUSED: lambda task, axis: _heard(task, axis, confused_numbers),
    CauseCode.DIGITS_SWAPPED: lambda task, axis: _heard(task, axis, swapped_digits),
}
