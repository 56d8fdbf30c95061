"""The finished lens: verdict by the standard in force, cause, rescue."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from assistant.kit.profile import Kit, NasalIndex
from assistant.optics.diagnosis import Allowance, Cause, allowance, diagnose
from assistant.optics.eye import Eye
from assistant.optics.faults import NOTHING_OFF, CauseCode, Marking, Off, Task
from assistant.optics.power import Power
from assistant.optics.rescue import Edge, Rescue, Worn, none_needed, rescue
from assistant.optics.slot import play_deg
from assistant.optics.tolerance import STANDARDS, Judgement
from assistant.workflow.pictures import EyeResult

_FORETELL_NOTHING: Final = (CauseCode.TURNED_IN_RIM, CauseCode.UNKNOWN)


@dataclass(frozen=True, slots=True)
class EyeCheck:
    """One finished lens judged. `ordered` is what it must read; both powers as given."""

    eye: Eye
    ordered: Power
    measured: Power
    judgement: Judgement
    causes: tuple[Cause, ...]
    """Likeliest first; empty for a lens that passes."""
    rescue: Rescue

    @property
    def passed(self) -> bool:
        return self.judgement.passed

    @property
    def rival(self) -> Cause | None:
        """The next likeliest cause where it, too, foretold the reading; a turned lens may lie at any axis."""
        named = [cause for cause in self.causes[1:2] if cause.code not in _FORETELL_NOTHING]
        return named[0] if named and self.causes[0].code is not CauseCode.UNKNOWN else None

    @property
    def picture(self) -> EyeResult:
        """The result as the verdict's picture wants it."""
        powers = [row for row in self.judgement.rows if row.kind != "axis"]
        worst = max(powers, key=lambda row: row.used)
        axis = next((row for row in self.judgement.rows if row.kind == "axis"), None)
        return EyeResult(
            self.eye,
            self.passed,
            axis.error if axis else None,
            axis.limit if axis else None,
            worst.error,
            worst.limit,
            self.causes[0].code.value if self.causes else None,
            self.rescue.kind.value,
            self.rescue.turn_from_old_slot_deg,
            None if self.rival is None else self.rival.code.value,
        )


def check_eye(
    ordered: Power,
    measured: Power,
    eye: Eye,
    kit: Kit,
    *,
    lens: Power | None = None,
    other_eye: Power | None = None,
    neighbours: Sequence[Power] = (),
    slots_deg: tuple[float, ...] = (),
    off: Off = NOTHING_OFF,
) -> EyeCheck:
    """Judge one finished lens by the kit's standard; where it fails, say why and what to do.

    Powers in either cylinder form. `lens`: what the lens itself is, as it should lie, where that is not
    exactly what was ordered; mistakes are looked for from there. `other_eye`: the lens of the other eye,
    thought of as swapped only if given. `slots_deg`: every slot of the lens from its minus-axis line, the
    one on the pin last. `off`: errors of the instruments it was marked on, already taken off `measured`.
    """
    judgement = STANDARDS[kit.standard].judge(ordered, measured)
    if judgement.passed:
        return EyeCheck(eye, ordered, measured, judgement, (), none_needed())
    marking = marking_of(kit, off)
    task = Task(lens or ordered, eye, marking, other_eye, tuple(neighbours))
    causes = diagnose(task, measured, allowance_of(kit))
    way_out = rescue(causes[0], ordered, Worn(eye, measured, marking, edge_of(kit), slots_deg))
    return EyeCheck(eye, ordered, measured, judgement, causes, way_out)


def marking_of(kit: Kit, off: Off = NOTHING_OFF) -> Marking:
    """How lenses are marked with this kit, on instruments that are off by so much."""
    on_line = kit.protractor.nasal_index is NasalIndex.ON_CENTRE_LINE
    return Marking(kit.pin_depression_deg, on_line, kit.protractor.step_deg, off)


def allowance_of(kit: Kit) -> Allowance:
    play = play_deg(kit.slot.width_mm, kit.pin.diameter_mm, kit.lens.radius_mm)
    return allowance(kit.focimeter.power_step_d, kit.focimeter.axis_step_deg, kit.protractor.step_deg, play)


def edge_of(kit: Kit) -> Edge:
    return Edge(kit.lens.radius_mm, kit.slot.width_mm, kit.slot.rescue_spacing_mm)
