"""A bench's record grows for weeks; what a step costs must not grow with it. Counted in calls: no clock in here."""

import sys
from dataclasses import replace
from types import FrameType

from hands import Hands, hands_on, order_of

from assistant.kit.profile import Kit
from assistant.workflow.state import Closed

PAST_PAIRS = 500
"""Some weeks of one bench."""


def calls_of_a_pair(hands: Hands) -> int:
    """How many functions are called to make the waiting pair."""
    calls = 0

    def count(_frame: FrameType, event: str, _value: object) -> None:
        nonlocal calls
        calls += event == "call"

    sys.setprofile(count)
    try:
        hands.until("hand_over")
    finally:
        sys.setprofile(None)
    return calls


def test_a_pair_costs_the_same_after_weeks(kit: Kit) -> None:
    new, old = hands_on(kit), hands_on(kit)
    past = [str(1000 + number) for number in range(PAST_PAIRS)]
    old.bench = replace(
        old.bench,
        orders=(*(order_of("-2.00", "-2.00", case=case) for case in past), *old.bench.orders),
        closed=tuple(Closed("2026-10-01", case, "handed_over", 0.0, 600.0) for case in past),
    )
    assert calls_of_a_pair(old) < 1.1 * calls_of_a_pair(new)
