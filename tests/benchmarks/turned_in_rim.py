"""How well a turned lens can be told from other mistakes: `python tests/benchmarks/turned_in_rim.py [orders]`.

A turned lens may read any axis. Where it happens to lie as another mistake would have put it, no reading tells
the two apart. Prints which part of the turns (8 to 85 degrees either way, as the virtual hands turn it) lies within a
given part of the axis allowance of some other mistake's prediction, over orders of invented people on two kits. Then:
of as many pairs with one planted mistake that foretells the axis, in how many it lay beyond three quarters of that.
"""

import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1]))

from trials import Trial

from assistant.kit.load import demo_kit, load_kit
from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.diagnosis import TURNED_AXIS_MISFIT
from assistant.optics.eye import Eye
from assistant.optics.faults import Task, predictions
from assistant.optics.power import axis_difference_deg
from assistant.practice.people import person
from assistant.practice.slips import CAREFUL, CAUSE_OF, LEARNER, Rates, Slip
from assistant.workflow.lens_check import allowance_of, marking_of
from assistant.workflow.planning import plan_pair
from assistant.workflow.steps import BY_ID

PARTS = (1.0, 0.75, 0.5, 0.25)
FORETELLING = tuple(
    slip for slip in CAUSE_OF if slip not in (Slip.WRONG_FRAME, Slip.FRAME_BENT, Slip.TURNED_IN_RIM)
)
TURNS_DEG = [sign * turn / 2.0 for turn in range(16, 171) for sign in (-1.0, 1.0)]


def tasks(kit: Kit, orders: int) -> Iterator[Task]:
    """Every lens with a cylinder, as it should be made."""
    for seed in range(orders):
        plan = plan_pair(person(kit, Random(seed), "101"), kit, Stock.packed(kit.bank))
        for eye in Eye:
            target, other = plan.eye(eye).target, plan.eye(eye.other).target
            if target is not None and target.axis is not None:
                yield Task(target, eye, marking_of(kit), other)


def covered(kit: Kit, task: Task, part: float) -> float:
    """The part of all turns that another mistake could have made, its axis foretold to `part` of the allowance."""
    lens, reach = task.ordered.minus_form, allowance_of(kit).axis_for(task.ordered.cylinder) * part
    axes = [
        power.axis
        for _, power in predictions(task)
        if power.axis is not None
        and abs(power.sphere - lens.sphere) + abs(power.cylinder - lens.cylinder) < 0.01
    ]
    assert lens.axis is not None
    hit = [
        any(abs(axis_difference_deg(lens.axis + turn, axis)) <= reach for axis in axes) for turn in TURNS_DEG
    ]
    return sum(hit) / len(hit)


def foretold(kit: Kit, seed: int, rates: Rates) -> float | None:
    """How far from its prediction the axis of one planted mistake lay, in allowances; None where none was judged."""
    slip = FORETELLING[seed % len(FORETELLING)]
    trial = Trial(kit, seed, rates, slip)
    checks = [one for check, _ in trial.checks[:1] for one in (check.right, check.left) if one is not None]
    for check in checks:
        for cause in check.causes:
            if cause.code.value == CAUSE_OF[slip] and cause.predicted is not None and cause.predicted.axis:
                read = check.measured.minus_form
                weaker = min(abs(read.cylinder), abs(cause.predicted.cylinder))
                off = axis_difference_deg(read.axis or 180.0, cause.predicted.axis)
                return abs(off) / allowance_of(kit).axis_for(weaker)
    return None


def report_foretold(kit: Kit, pairs: int) -> None:
    for name, rates in (
        ("true", CAREFUL),
        ("blurred", Rates(eye_d=LEARNER.eye_d, reading_d=LEARNER.reading_d)),
    ):
        found = [off for seed in range(pairs) if (off := foretold(kit, seed, rates)) is not None]
        beyond = sum(off > TURNED_AXIS_MISFIT for off in found)
        print(f"{kit.name}, readings {name}: {beyond} of {len(found)} beyond {TURNED_AXIS_MISFIT:g}")


def main(orders: int) -> None:
    kits = (demo_kit(BY_ID), load_kit(Path(__file__).parents[1] / "kits" / "forty", BY_ID))
    print("| kit | lenses |" + "".join(f" within {part:g} |" for part in PARTS))
    print("|---|---|" + "---|" * len(PARTS))
    for kit in kits:
        found = list(tasks(kit, orders))
        shares = (sum(covered(kit, task, part) for task in found) / len(found) for part in PARTS)
        print(f"| {kit.name} | {len(found)} |" + "".join(f" {share:.1%} |" for share in shares))
    print()
    for kit in kits:
        report_foretold(kit, orders)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
