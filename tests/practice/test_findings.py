"""What the virtual bench found wrong with the tool, each once."""

from random import Random

import pytest

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import parse_power
from assistant.practice.bench import Errors
from assistant.practice.helper import VirtualHelper
from assistant.practice.run import Turns, opened
from assistant.practice.slips import CAREFUL, Slip
from assistant.workflow.events import Answered


def made(kit: Kit, helper: VirtualHelper, order: Order) -> tuple[Turns, list[tuple[str, ...]]]:
    """The pair, and the codes of every check."""
    turns = opened(kit, helper, 1, 1_000_000.0, "2026-11-02")
    found: list[tuple[object, tuple[str, ...]]] = []

    def look(now: Turns) -> None:
        check = now.bench.pair.check if now.bench.pair is not None else None
        if check is not None and (not found or found[-1][0] is not check):
            found.append((check, check.codes))

    turns.watch = look
    turns.make(order)
    return turns, [codes for _, codes in found]


def order_of(right: str, left: str, pd: float = 62.0) -> Order:
    return Order(EyeOrder(parse_power(right)), EyeOrder(parse_power(left)), pd_mm=pd, case="101")


def test_both_lenses_are_read_again_after_one_was_worked_on(kit: Kit) -> None:
    """A helper who took both lenses out to mend one could exchange them, and nobody read the other."""
    helper = VirtualHelper(kit, 3, CAREFUL, plant=Slip.SLOT_ON_CENTRE_LINE, plant_eye=Eye.LEFT)
    turns, _ = made(kit, helper, order_of("-2.00/-2.00x30", "-1.50/-2.00x150"))
    read = [e.field for e in turns.events if isinstance(e, Answered) and e.step == "check"]
    assert read.count("sphere") == 4


@pytest.mark.parametrize("off", [Errors(axis_deg=1.0), Errors(axis_deg=-1.0), Errors(scale_deg=1.0)])
@pytest.mark.parametrize(
    ("slip", "code"), [(Slip.DIGITS_SWAPPED, "digits_swapped"), (Slip.MARKED_FACE_DOWN, "face_down")]
)
def test_causes_are_named_on_instruments_that_are_off(kit: Kit, off: Errors, slip: Slip, code: str) -> None:
    """The number the helper was told holds the instruments' errors; so do the figures it is taken for."""
    helper = VirtualHelper(kit, 5, CAREFUL, plant=slip, plant_eye=Eye.RIGHT, errors=off)
    _, codes = made(kit, helper, order_of("-2.00/-3.00x31", "-1.50/-2.00x150"))
    assert code in codes[0]


def test_a_reading_a_step_off_is_not_taken_for_prism(other_kit: Kit) -> None:
    """Planned just within the prism limit, read one degree off: refitting could never have mended it."""
    order = order_of("-4.75/-1.50x174", "-5.00/-1.25x8", pd=66.0)
    for seed in range(6):
        chance = Random(seed)
        errors = Errors(0.125, float(chance.choice((-1, 0, 1))), float(chance.choice((-1, 0, 1))))
        turns, codes = made(other_kit, VirtualHelper(other_kit, seed, CAREFUL, errors=errors), order)
        assert codes == [()]
        assert turns.bench.closed[-1].outcome == "handed_over"
