"""An eye ordered without cylinder that is given a lens with a weak one, because stock has no other."""

from dataclasses import replace

import numpy as np
import pytest
from hands import hands_on, order_of

from assistant.kit.profile import Kit
from assistant.workflow.steps import FieldKind


def without_spheres(kit: Kit) -> Kit:
    """The kit with every lens that has no cylinder used up."""
    count = np.where(kit.bank.cylinder == 0.0, 0, kit.bank.count)
    return replace(kit, bank=replace(kit.bank, count=count))


@pytest.mark.parametrize("axis", ["5", "48", "90", "170"])
def test_it_passes_at_whatever_axis_it_came_to_lie(demo: Kit, axis: str) -> None:
    """Found by the virtual bench: the check wanted an axis that nobody had ordered or marked."""
    hands = hands_on(without_spheres(demo), order_of("-2.00", "-1.50/-0.50x165"))
    hands.wrong = {("check", "right", "axis"): [axis]}
    hands.until("mark")
    assert hands.listening().kind is FieldKind.DONE
    hands.until("verdict")
    assert hands.bench.the_pair.check is not None
    assert hands.bench.the_pair.check.passed
