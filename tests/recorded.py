"""Sessions for tests, made by the virtual helper: whole pairs, with a mistake planted or with many."""

from collections.abc import Iterable
from pathlib import Path
from random import Random

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import parse_power
from assistant.practice.helper import VirtualHelper
from assistant.practice.people import person
from assistant.practice.run import Turns, opened
from assistant.practice.sessions import as_record
from assistant.practice.slips import CAREFUL, LEARNER, Rates, Slip
from assistant.workflow.events import Event

DATE = "2026-11-02"
MORNING = 1_762_070_400.0


def an_order(right: str = "-2.25/-1.50x30", left: str = "-1.75/-2.00x155", case: str = "201") -> Order:
    return Order(EyeOrder(parse_power(right)), EyeOrder(parse_power(left)), pd_mm=62.0, case=case)


def begun(
    kit: Kit, seed: int, rates: Rates = CAREFUL, slip: Slip | None = None, eye: Eye | None = None
) -> Turns:
    """A bench whose start of the day is done."""
    helper = VirtualHelper(kit, seed, rates, plant=slip, plant_eye=eye, sign=seed % 6 + 1, language=1)
    return opened(kit, helper, seed, MORNING, DATE)


def a_pair(kit: Kit, slip: Slip | None = None, eye: Eye | None = None, seed: int = 1) -> list[Event]:
    """One careful pair with at most one mistake."""
    turns = begun(kit, seed, slip=slip, eye=eye)
    turns.make(an_order())
    return turns.events


def a_morning(kit: Kit, seed: int, pairs: int = 4) -> list[Event]:
    """Some pairs of a helper who is learning."""
    turns, chance = begun(kit, seed, LEARNER), Random(seed)
    for case in range(pairs):
        turns.make(person(kit, chance, f"{300 + case}"))
    return turns.events


def written(path: Path, events: Iterable[Event], bench: str = "heron") -> Path:
    """The record of these events, as a bench writes it but for its head."""
    path.write_bytes(as_record(events, bench))
    return path
