"""What is asked of an order before it is believed.

Quarter steps, axis 1 to 180, signs, 2 D between the eyes, 48 to 78 mm, halves within 4 mm: common practice,
no source. Least distance for a child 40 mm: Dodgson, SPIE 5291, 2004 (child of 5 years).
What "large" and "alike" mean for two cylinders is common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from assistant.optics.eye import Eye
from assistant.optics.order import EyeKind, Order, Purpose
from assistant.optics.power import Power, axis_difference_deg, wrap_axis

QUARTER_D: Final = 0.25
UNEQUAL_POWERS_D: Final = 2.0
LARGE_CYLINDER_D: Final = 1.0
ALIKE_AXES_DEG: Final = 20.0
LEAST_ADULT_PD_MM: Final = 48.0
LEAST_CHILD_PD_MM: Final = 40.0
MOST_PD_MM: Final = 78.0
UNEQUAL_HALVES_MM: Final = 4.0
HALVES_SUM_MM: Final = 0.5
_ROUNDING: Final = 1e-6


class Severity(StrEnum):
    ASK = "ask"
    RETURN = "return"


@dataclass(frozen=True, slots=True)
class Question:
    """`code` is a key of `QUESTIONS`; `text` is its English, with the figures in it."""

    code: str
    text: str
    severity: Severity


QUESTIONS: Final[dict[str, tuple[Severity, str]]] = {
    "nothing_to_make": (Severity.RETURN, "no lens is ordered for either eye"),
    "balance_alone": (Severity.RETURN, "a balance lens is ordered, but the other eye has no power to match"),
    "sphere_not_quarter": (Severity.ASK, "{eye} sphere {value:+.2f} D is not in quarter steps"),
    "cylinder_not_quarter": (Severity.ASK, "{eye} cylinder {value:+.2f} D is not in quarter steps"),
    "axis_out_of_range": (Severity.ASK, "{eye} axis {value:g} is outside 1 to 180"),
    "sphere_signs_differ": (
        Severity.ASK,
        "the spheres have different signs: right {right:+.2f} D, left {left:+.2f} D",
    ),
    "unequal_powers": (
        Severity.ASK,
        "the eyes' mean powers are {value:.2f} D apart, more than {limit:g} D:"
        " images of unequal size, and vertical prism when looking down",
    ),
    "axes_unlike": (
        Severity.ASK,
        "both cylinders are large and their axes, {right:g} and {left:g}, are neither alike nor mirrored",
    ),
    "pd_unusual": (Severity.ASK, "pupillary distance {value:g} mm is outside {low:g} to {high:g} mm"),
    "pd_halves_differ": (
        Severity.ASK,
        "the halves of the pupillary distance, {right:g} and {left:g} mm, differ by more than {limit:g} mm",
    ),
    "pd_halves_sum": (
        Severity.ASK,
        "the halves of the pupillary distance add up to {sum:g} mm, not to {value:g} mm",
    ),
    "near_pd_greater": (Severity.ASK, "near distance {near:g} mm is greater than far distance {far:g} mm"),
    "beyond_bank": (
        Severity.ASK,
        "{eye} power {value} is beyond the bank: spheres {low:+.2f} to {high:+.2f} D,"
        " cylinders to {cylinder:+.2f} D",
    ),
    "repeated": (Severity.ASK, "the same order was already made today"),
}
"""Every question: how serious, and its English. The only list of these codes."""


@dataclass(frozen=True, slots=True)
class BankRange:
    """The strongest lenses of the bank, dioptres, minus form."""

    sphere_d: tuple[float, float]
    strongest_cylinder_d: float


def questions(
    order: Order, needed: tuple[Power | None, Power | None], bank: BankRange, *, repeated: bool = False
) -> tuple[Question, ...]:
    """Everything odd about an order, most serious first, right eye before left.

    `needed` are the right and left powers at the fitted vertex distance (None where there is none);
    `repeated` says that the same order was made today, which only the record knows.
    """
    asked = [
        *_whole_order(order),
        *(q for eye in Eye if (power := order.eye(eye).power) is not None for q in _one_eye(eye, power)),
        *_between_eyes(order.right.power, order.left.power),
        *_distances(order),
        *(q for eye, power in zip(Eye, needed, strict=True) for q in _beyond_bank(eye, power, bank)),
        *([_question("repeated")] if repeated else []),
    ]
    return tuple(sorted(asked, key=lambda q: q.severity is Severity.ASK))


def _question(code: str, **figures: object) -> Question:
    severity, template = QUESTIONS[code]
    return Question(code, template.format(**figures), severity)


def _whole_order(order: Order) -> Iterator[Question]:
    kinds = {order.right.kind, order.left.kind}
    if kinds == {EyeKind.NONE}:
        yield _question("nothing_to_make")
    elif EyeKind.POWER not in kinds:
        yield _question("balance_alone")


def _one_eye(eye: Eye, power: Power) -> Iterator[Question]:
    if not _in_quarters(power.sphere):
        yield _question("sphere_not_quarter", eye=eye.value, value=power.sphere)
    if not _in_quarters(power.cylinder):
        yield _question("cylinder_not_quarter", eye=eye.value, value=power.cylinder)
    if power.axis is not None and not 1.0 <= power.axis <= 180.0:
        yield _question("axis_out_of_range", eye=eye.value, value=power.axis)


def _in_quarters(value_d: float) -> bool:
    return abs(value_d / QUARTER_D - round(value_d / QUARTER_D)) < _ROUNDING


def _between_eyes(written_right: Power | None, written_left: Power | None) -> Iterator[Question]:
    if written_right is None or written_left is None:
        return
    right, left = written_right.minus_form, written_left.minus_form
    if right.sphere * left.sphere < 0:
        yield _question("sphere_signs_differ", right=right.sphere, left=left.sphere)
    apart = abs(right.mean - left.mean)
    if apart > UNEQUAL_POWERS_D + _ROUNDING:
        yield _question("unequal_powers", value=apart, limit=UNEQUAL_POWERS_D)
    if min(-right.cylinder, -left.cylinder) >= LARGE_CYLINDER_D - _ROUNDING and not _alike(right, left):
        yield _question("axes_unlike", right=right.axis, left=left.axis)


def _alike(right: Power, left: Power) -> bool:
    """Whether the axes are equal or mirror one another about the nose, within `ALIKE_AXES_DEG`."""
    if right.axis is None or left.axis is None:
        return True
    mirrored = wrap_axis(180.0 - left.axis)
    return any(
        abs(axis_difference_deg(right.axis, axis)) <= ALIKE_AXES_DEG + _ROUNDING
        for axis in (left.axis, mirrored)
    )


def _distances(order: Order) -> Iterator[Question]:
    low = LEAST_CHILD_PD_MM if order.child else LEAST_ADULT_PD_MM
    if not low <= order.pd_mm <= MOST_PD_MM:
        yield _question("pd_unusual", value=order.pd_mm, low=low, high=MOST_PD_MM)
    right, left = order.right_pd_mm, order.left_pd_mm
    if right is not None and left is not None:
        if abs(right - left) > UNEQUAL_HALVES_MM + _ROUNDING:
            yield _question("pd_halves_differ", right=right, left=left, limit=UNEQUAL_HALVES_MM)
        if abs(right + left - order.pd_mm) > HALVES_SUM_MM + _ROUNDING:
            yield _question("pd_halves_sum", sum=right + left, value=order.pd_mm)
    if order.purpose is Purpose.NEAR and order.near_pd_mm is not None and order.near_pd_mm > order.pd_mm:
        yield _question("near_pd_greater", near=order.near_pd_mm, far=order.pd_mm)


def _beyond_bank(eye: Eye, power: Power | None, bank: BankRange) -> Iterator[Question]:
    if power is None:
        return
    low, high = bank.sphere_d
    form = power.minus_form
    inside = low - _ROUNDING <= form.sphere <= high + _ROUNDING
    if not inside or form.cylinder < bank.strongest_cylinder_d - _ROUNDING:
        figures = {"low": low, "high": high, "cylinder": bank.strongest_cylinder_d}
        yield _question("beyond_bank", eye=eye.value, value=str(form), **figures)
