"""A practice pair chosen before it is practised: made once by the virtual helper, to know that it can be.

A mistake teaches nothing where it does no harm: an order is taken on which the tool finds it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from random import Random
from types import MappingProxyType
from typing import Final

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.order import Order
from assistant.practice.helper import VirtualHelper
from assistant.practice.people import person
from assistant.practice.run import Turns, opened
from assistant.practice.slips import CAREFUL, CAUSE_OF, MISREADINGS, Slip

MOST_TRIES: Final = 400
NONE: Final = "none"
"""The name of no mistake."""
_DATE, _START_S = "2026-11-02", 0.0

PLANTED: Final = tuple(slip for slip in Slip if slip not in MISREADINGS)
"""What may be planted: the hands' mistakes. The readings are the helper's own."""
AT_STEP: Final[Mapping[Slip, str]] = MappingProxyType(
    {
        Slip.WRONG_POCKET: "check_number_wrong",
        Slip.STRAY_LENS: "wrong_lens",
        Slip.SCALE_SET_WRONG: "scale_wrong",
        Slip.SLOT_SHALLOW: "slot_shallow",
        Slip.SLOT_DEEP: "slot_deep",
        Slip.PIN_LONG: "pin_long",
        Slip.PIN_SHORT: "pin_short",
        Slip.CHIPPED: "chipped",
    }
)
"""Mistakes that are found at their own step, and the refusal that finds them."""


class CannotPractise(ValueError):  # noqa: N818 - says what it is
    """No order was found on which this mistake shows; the message is one sentence."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is practised. `seed` makes the virtual bench; `plant` None: nothing goes wrong."""

    order: Order
    seed: int
    plant: Slip | None
    eye: Eye | None = None


def name_of(slip: Slip | None) -> str:
    """The code a mistake is named by: a cause of a failed check, or a refusal."""
    if slip is None:
        return NONE
    return CAUSE_OF.get(slip) or AT_STEP[slip]


def slip_of(code: str) -> Slip | None:
    """The mistake that a recorded cause or refusal speaks of; None where the hands made none."""
    return next((slip for slip in PLANTED if name_of(slip) == code), None)


def drawn(seed: int) -> Slip | None:
    """A mistake at random; in one of six practices there is none."""
    chance = Random(seed)
    return None if chance.random() < 1.0 / 6.0 else chance.choice(PLANTED)


def rehearsed(
    kit: Kit, seed: int, plant: Slip | None, order: Order | None = None, eye: Eye | None = None
) -> Chosen:
    """A pair on which the mistake happens and is found, on `order` if given, else on one drawn from `seed`.

    Raises `CannotPractise`.
    """
    for number in range(seed * MOST_TRIES, (seed + 1) * MOST_TRIES):
        wanted = order or person(kit, Random(number), str(seed % 900 + 100))
        chosen = Chosen(wanted, number, plant, eye)
        if _shows(kit, chosen):
            return chosen
    what = "an order that can be made" if plant is None else f"an order on which {plant.value} shows"
    raise CannotPractise(f"{what} was not found in {MOST_TRIES} tries; plant another mistake")


def virtual_helper(kit: Kit, chosen: Chosen, language: int = 1, sign: int = 1) -> VirtualHelper:
    """The hands that make the pair, with the one mistake."""
    return VirtualHelper(
        kit, chosen.seed, CAREFUL, plant=chosen.plant, plant_eye=chosen.eye, language=language, sign=sign
    )


def _shows(kit: Kit, chosen: Chosen) -> bool:
    helper = virtual_helper(kit, chosen)
    told: set[str] = set()

    def look(turns: Turns) -> None:
        check = turns.bench.pair.check if turns.bench.pair is not None else None
        told.update(check.codes if check is not None else ())
        told.update((turns.bench.refusal.code,) if turns.bench.refusal is not None else ())

    turns = opened(kit, helper, chosen.seed, _START_S, _DATE)
    turns.watch = look
    turns.make(chosen.order)
    handed_over = turns.bench.closed[-1].outcome == "handed_over"
    return handed_over and told == ({name_of(chosen.plant)} if chosen.plant is not None else set())
