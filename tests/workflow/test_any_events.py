"""Any sequence of events whatever: `advance` never raises, no lens is promised twice, readings stay blind."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import numpy as np
import pytest
from any_events import KINDS, act
from hands import hands_on, order_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.kit.profile import Kit
from assistant.workflow.effects import Effect, Listen
from assistant.workflow.plan import Verdict
from assistant.workflow.state import Bench, Item

ODD = order_of("-3.75/-1.75x25", "-5.25/-2.25x155")
"""Powers that are no other figure of either kit, so that seeing one is seeing the expected reading."""

actions = st.lists(st.tuples(st.integers(0, KINDS - 1), st.integers(0, 10_000)), max_size=200)


def whole(bench: Bench) -> None:
    """Promised is what is planned and not fetched, out is what was fetched and is not accounted for, and no more."""
    stock, pair = bench.stock, bench.pair
    assert (stock.there >= 0).all()
    out, promised = np.zeros_like(stock.out), np.zeros_like(stock.promised)
    for eye in () if pair is None else pair.eyes:
        assert pair is not None
        lens = pair.plan.eye(eye).lens
        assert lens is not None
        row = bench.kit.bank.row_of(lens.pocket)
        if pair.work(eye).fetched:
            out[row] += not pair.given_up or Item("account", eye) in pair.agenda
        elif not pair.given_up and pair.plan.verdict is not Verdict.RETURN:
            promised[row] += 1
    assert (stock.out == out).all()
    assert (stock.promised == promised).all()


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(actions)
def test_no_sequence_of_events_raises_or_promises_twice(kit: Kit, sequence: list[tuple[int, int]]) -> None:
    hands = hands_on(kit, ODD)
    for kind, number in sequence:
        act(hands, kind, number)
        whole(hands.bench)


def figures(value: object) -> Iterator[float]:
    """Every number anywhere inside an effect."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)
    elif is_dataclass(value) and not isinstance(value, type):
        for part in fields(value):
            yield from figures(getattr(value, part.name))
    elif isinstance(value, dict):
        for part_value in value.values():
            yield from figures(part_value)
    elif isinstance(value, tuple | list):
        for part_value in value:
            yield from figures(part_value)


def shown(effects: tuple[Effect, ...], own: set[float]) -> set[float]:
    """Figures in effects that the helper did not key at this step, limits of the keypad left out."""
    return {f for effect in effects if not isinstance(effect, Listen) for f in figures(effect)} - own


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(actions)
def test_no_expected_power_is_shown_before_it_is_read(kit: Kit, sequence: list[tuple[int, int]]) -> None:
    hands = hands_on(kit, ODD)
    for kind, number in sequence:
        act(hands, kind, number)
        pair = hands.bench.pair
        if pair is None or hands.bench.current.step == "verdict":
            continue
        own = {value for _, value in hands.bench.entries if isinstance(value, float)}
        for eye in pair.eyes:
            lens = pair.plan.eye(eye).lens
            if lens is None:
                continue
            expected = {lens.sphere, lens.cylinder, -lens.cylinder} - {0.0, 1.0, -1.0, 2.0}
            assert not expected & shown(hands.effects[-1], own)


@pytest.mark.parametrize("text", ["", "x", "1" * 50, "--2", "\x00", "½", "١"])
def test_a_keyed_text_that_is_no_figure_is_refused(kit: Kit, text: str) -> None:
    hands = hands_on(kit, ODD)
    hands.until("read")
    before = hands.bench.current
    hands.key(text)
    assert hands.bench.current == before
    assert hands.bench.refusal is not None
    assert hands.bench.entries == ()
