"""Why a finished lens reads wrong: each mistake's own prediction against the reading, nearest first.

A prediction fits when the reading lies within what careful work and the instruments leave open: a power
allowance on each principal meridian, and an axis allowance that grows as the cylinder shrinks, because the
axis of a weak cylinder cannot be read sharply. Misfits are measured in units of these allowances, so weak
and strong cylinders are treated alike. A lens turned in its rim may lie at any axis, so it fits every axis
error; it is believed only after the mistakes that had to predict the axis, and did so well.
"""

import math
from dataclasses import dataclass
from typing import Final

from assistant.optics.faults import CauseCode, Task, predictions, setting_deg
from assistant.optics.power import Power, axis_difference_deg, blur, wrap_axis

LENS_MAKING_D: Final = 0.12
"""What the maker may be off in each meridian: lowest row of ISO 8980-1 (from memory)."""
LEAST_AXIS_D: Final = 0.12
"""A weaker cylinder has no readable axis (ANSI Z80.1-2015 gives no axis row below it)."""
AXIS_READING_D: Final = 0.02
"""Cylinder lost to the eye when the focimeter is turned to the axis: 5 degrees on 0.25 D, 1 degree on 1 D
(common practice, no source)."""
HAND_DEG: Final = 0.5
"""Dotting, ticking and cutting by hand (common practice, no source)."""
_EDGE: Final = 1e-9
TURNED_AXIS_MISFIT: Final = 0.75
"""A lens turned in its rim counts as if its axis had been predicted this badly, in allowances. The allowance
adds up the worst of every step; an axis that a mistake truly foretold lies beyond three quarters of it in fewer
than one lens of a hundred, and a turned lens lies there as often as anywhere (docs/proof.md).
"""
_SAME_AXIS_DEG: Final = 1.0
"""Two settings closer than this cannot be told apart on the protractor by eye."""


@dataclass(frozen=True, slots=True)
class Allowance:
    """How far a reading may lie from the truth although nothing went wrong. All positive."""

    power_d: float
    """In each principal meridian."""
    axis_deg: float
    """Rounding of the setting, play on the pin, and the focimeter's axis scale."""
    axis_reading_d: float
    """Cylinder that the eye overlooks when turning the focimeter to the axis."""

    def axis_for(self, cylinder_d: float) -> float:
        """Axis allowance for a cylinder, degrees; 90 (any axis) where its axis cannot be read."""
        if abs(cylinder_d) < LEAST_AXIS_D - _EDGE:
            return 90.0
        return min(90.0, self.axis_deg + math.degrees(self.axis_reading_d / abs(cylinder_d)))


def allowance(
    power_step_d: float, focimeter_axis_step_deg: float, protractor_step_deg: float, play_deg: float
) -> Allowance:
    """The allowance of a kit, from the steps of its scales (dioptres, degrees) and the play on its pin.

    Power: the maker's tolerance and half a step. Axis: half a step of each scale, the whole play, and the
    hand.
    """
    axis = HAND_DEG + protractor_step_deg / 2.0 + play_deg + focimeter_axis_step_deg / 2.0
    return Allowance(LENS_MAKING_D + power_step_d / 2.0, axis, AXIS_READING_D)


@dataclass(frozen=True, slots=True)
class Cause:
    """One likely cause, and the one reading that would confirm it or tell it from its nearest rival."""

    code: CauseCode
    predicted: Power | None
    """What this mistake gives, minus form. None for an unknown cause."""
    distance: float
    """Dioptric distance from `predicted` to the reading; for an unknown cause from what was ordered."""
    ask_id: str
    """Prompt id of the question."""
    ask: str
    """The question in English, with its figures."""
    misfit: float
    """Distance in allowances; 1 is the most that one instrument allows."""


@dataclass(frozen=True, slots=True)
class _Candidate:
    code: CauseCode
    predicted: Power | None
    misfit: float


def diagnose(task: Task, measured: Power, within: Allowance) -> tuple[Cause, ...]:
    """The causes that explain a reading that failed, likeliest first; never empty.

    `measured` in either cylinder form. `unknown` is listed where nothing explains the reading, or where
    the reading may be an unlucky one of a lens made right.
    """
    read, ordered = measured.minus_form, task.ordered.minus_form
    found = sorted(_explanations(task, read, ordered, within), key=lambda c: (c.misfit, _order(c.code)))
    distance = blur(ordered, read)
    return tuple(
        Cause(
            c.code,
            c.predicted,
            distance if c.predicted is None else blur(c.predicted, read),
            *_question(task, found, place),
            c.misfit,
        )
        for place, c in enumerate(found)
    )


def misfit(predicted: Power, read: Power, within: Allowance) -> float | None:
    """Distance of a reading from a prediction, both minus form, in allowances; None if it does not fit."""
    ends = zip(predicted.meridians, read.meridians, strict=True)
    power = max(abs(got - want) for want, got in ends) / within.power_d
    axis = 0.0
    if predicted.axis is not None and read.axis is not None:
        weaker = min(abs(predicted.cylinder), abs(read.cylinder))
        axis = abs(axis_difference_deg(read.axis, predicted.axis)) / within.axis_for(weaker)
    return math.hypot(power, axis) if max(power, axis) <= 1.0 + _EDGE else None


def _explanations(task: Task, read: Power, ordered: Power, within: Allowance) -> list[_Candidate]:
    best: dict[CauseCode, _Candidate] = {}
    for code, lens in predictions(task):
        predicted = _lying_anywhere(lens, read) if ordered.axis is None and _no_axis_set(code) else lens
        off = misfit(predicted, read, within)
        if off is not None and (code not in best or off < best[code].misfit):
            best[code] = _Candidate(code, predicted, off)
    as_made = misfit(ordered, read, within)
    if as_made is not None:
        return [*best.values(), _Candidate(CauseCode.UNKNOWN, None, as_made)]
    turned = _turned(ordered, read, within)
    if turned is not None:
        best[CauseCode.TURNED_IN_RIM] = turned
    return list(best.values()) or [_Candidate(CauseCode.UNKNOWN, None, math.inf)]


def _no_axis_set(code: CauseCode) -> bool:
    """Where no axis was ordered the slot sits anywhere, except in a lens that was made for the other eye."""
    return code is not CauseCode.LENSES_SWAPPED


def _lying_anywhere(lens: Power, read: Power) -> Power:
    if lens.axis is None or read.axis is None:
        return lens
    return Power(lens.sphere, lens.cylinder, read.axis)


def _turned(ordered: Power, read: Power, within: Allowance) -> _Candidate | None:
    if ordered.axis is None or read.axis is None:
        return None
    predicted = Power(ordered.sphere, ordered.cylinder, read.axis)
    power = misfit(predicted, read, within)
    if power is None:
        return None
    return _Candidate(CauseCode.TURNED_IN_RIM, predicted, math.hypot(power, TURNED_AXIS_MISFIT))


def _order(code: CauseCode) -> int:
    return list(CauseCode).index(code)


_SCALE: Final = "ask-scale"
_ASKS: Final = {
    CauseCode.LENSES_SWAPPED: ("ask-other-eye", "Read the other eye's lens: does it have this eye's powers?"),
    CauseCode.FACE_DOWN: (
        "ask-curved-side",
        "Look at the lens from the side, and at how it was marked: is, or was, the curved side inwards?",
    ),
    CauseCode.PLUS_AXIS_DOTTED: (
        "ask-dots",
        "Put the lens on the focimeter: do the three dots lie along the plus axis, across the minus axis?",
    ),
    CauseCode.SPHERE_SIGN: ("ask-pocket", "Look at the opened pocket: does its sphere have the other sign?"),
    CauseCode.NEIGHBOUR_POCKET: (
        "ask-pocket-count",
        "Count the lenses in this lens's pocket and in the ones beside it: is one missing beside it?",
    ),
    CauseCode.TURNED_IN_RIM: (
        "ask-pin-in-slot",
        "Look at the pin: is it out of the slot, or does the lens turn under a finger?",
    ),
    CauseCode.UNKNOWN: ("ask-read-again", "Read the lens on the focimeter once more."),
}
"""The reading that settles each cause. The rest are settled by the scale (`_scale_question`)."""


def _question(task: Task, found: list[_Candidate], place: int) -> tuple[str, str]:
    """The reading that tells this cause from its nearest rival: the first cause, or for that the second."""
    own = found[place]
    rival = found[1 if place == 0 else 0] if len(found) > 1 else None
    if own.code in _ASKS:
        return _ASKS[own.code]
    if rival is not None and rival.code in _ASKS and rival.code is not CauseCode.UNKNOWN:
        return _ASKS[rival.code]
    return _SCALE, _scale_question(task, own, rival)


def _scale_question(task: Task, own: _Candidate, rival: _Candidate | None) -> str:
    """Laid back on the protractor with its slot at the index, the lens shows what the line was set to."""
    start = (
        "Lay the lens on the protractor, curved side up, slot at the nasal index, and read the dotted line: "
    )
    named = [(c.code, _line_deg(task, c.predicted)) for c in (own, rival) if c is not None]
    shown = [(code, line) for code, line in named if line is not None]
    if len(shown) == 2 and abs(axis_difference_deg(shown[0][1], shown[1][1])) < _SAME_AXIS_DEG:
        return "Both mistakes leave the same lens; ask which figure was set on the protractor."
    return start + ", ".join(f"{line:.0f} means {code.value.replace('_', ' ')}" for code, line in shown) + "."


def _line_deg(task: Task, predicted: Power | None) -> float | None:
    """Where the dotted line lies with the slot at the index, for a lens that is worn as predicted."""
    if predicted is None or predicted.axis is None:
        return None
    ordered = task.ordered.minus_form.axis
    if ordered is None:
        return None
    turned = axis_difference_deg(predicted.axis, ordered)
    return wrap_axis(round(setting_deg(task, ordered) + turned) % 180.0)
