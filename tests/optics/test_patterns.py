"""Benches are simulated with a known error: what is there is found, what is not there is seldom claimed."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.optics.eye import Eye
from assistant.optics.patterns import (
    LEAST_PER_EYE,
    AxisError,
    Pattern,
    PatternCode,
    patterns,
    t_quantile,
    t_tail,
)
from assistant.optics.power import OpticsError


def worked(
    rng: np.random.Generator,
    pairs: int,
    *,
    bench: str = "heron",
    helper: int = 1,
    index_deg: float = 0.0,
    offset_deg: float = 0.0,
    spread_deg: float = 1.5,
    late_spread_deg: float | None = None,
    gross: float = 0.0,
) -> list[AxisError]:
    """A bench's errors, read to whole degrees: a steady part, a spread, now and then a blunder."""
    found = []
    for n in range(pairs):
        share = n / max(pairs - 1, 1)
        spread = spread_deg + share * ((late_spread_deg or spread_deg) - spread_deg)
        for eye in Eye:
            steady = offset_deg + index_deg * (1.0 if eye is Eye.RIGHT else -1.0)
            blunder = rng.uniform(-90.0, 90.0) if rng.random() < gross else 0.0
            error = (steady + rng.normal(0.0, spread) + blunder + 90.0) % 180.0 - 90.0
            found.append(AxisError(eye, float(np.round(error)), bench, helper, 600.0 * n))
    return found


def codes(found: tuple[Pattern, ...]) -> set[tuple[PatternCode, str | None]]:
    return {(pattern.code, pattern.bench) for pattern in found}


@pytest.mark.parametrize(
    ("freedom", "share", "t"),
    [
        (1, 0.975, 12.706),
        (2, 0.975, 4.303),
        (5, 0.975, 2.571),
        (10, 0.975, 2.228),
        (30, 0.975, 2.042),
        (5, 0.995, 4.032),
        (20, 0.995, 2.845),
    ],
)
def test_t_against_the_usual_table(freedom: int, share: float, t: float) -> None:
    """Student's t as every statistics textbook prints it (three decimals; from memory)."""
    assert t_quantile(share, freedom) == pytest.approx(t, abs=6e-4)


def test_t_against_scipy() -> None:
    """An independent library; `scipy` comes with the ray tracer of the reference tests."""
    stats = pytest.importorskip("scipy.stats")
    for freedom in (1.0, 2.5, 7.0, 40.0, 300.0):
        for t in (0.0, 0.3, 1.0, 2.5, 6.0, 15.0):
            assert t_tail(t, freedom) == pytest.approx(float(stats.t.sf(t, freedom)), rel=1e-6, abs=1e-12)


@given(freedom=st.floats(2.0, 200.0), share=st.floats(0.5, 0.9999))
def test_quantile_and_tail_agree(freedom: float, share: float) -> None:
    assert t_tail(t_quantile(share, freedom), freedom) == pytest.approx(1.0 - share, abs=1e-6)


def test_opposite_errors_are_the_kit_s() -> None:
    found = patterns(worked(np.random.default_rng(1), 20, index_deg=-4.1, gross=0.05))
    assert codes(found) == {(PatternCode.INDEX_NOT_AT_PIN, "heron")}
    assert abs(found[0].amount_deg + 4.1) <= 2.0 * found[0].plus_minus_deg
    assert found[0].confidence > 0.999
    assert found[0].bench == "heron"
    assert found[0].confidence > 0.999


def test_equal_errors_are_an_instrument_s() -> None:
    found = patterns(worked(np.random.default_rng(2), 20, offset_deg=3.0))
    assert codes(found) == {(PatternCode.INSTRUMENT_OFFSET, "heron")}
    assert found[0].amount_deg == pytest.approx(3.0, abs=1.0)


def test_growing_spread_is_a_person_s() -> None:
    found = patterns(worked(np.random.default_rng(3), 30, helper=7, spread_deg=0.8, late_spread_deg=7.0))
    assert codes(found) == {(PatternCode.GROWING_SPREAD, "heron")}
    assert found[0].helper == 7
    assert found[0].amount_deg > found[0].plus_minus_deg


def test_only_the_bench_that_has_it_is_named() -> None:
    rng = np.random.default_rng(4)
    benches = {"heron": 0.0, "crab": -5.7, "turtle": 0.0}
    errors = [e for bench, index in benches.items() for e in worked(rng, 20, bench=bench, index_deg=index)]
    assert codes(patterns(errors)) == {(PatternCode.INDEX_NOT_AT_PIN, "crab")}


def test_what_no_bench_shows_alone_all_may_show_together() -> None:
    rng = np.random.default_rng(5)
    errors = [
        error
        for bench in ("heron", "crab", "turtle", "gull", "eel")
        for error in worked(rng, LEAST_PER_EYE - 1, bench=bench, offset_deg=2.5)
    ]
    assert codes(patterns(errors)) == {(PatternCode.INSTRUMENT_OFFSET, None)}


def test_too_few_lenses_show_nothing() -> None:
    errors = worked(np.random.default_rng(6), LEAST_PER_EYE - 1, index_deg=-8.0, spread_deg=0.5)
    assert patterns(errors) == ()
    assert patterns([]) == ()


def test_one_eye_alone_cannot_tell_kit_from_instrument() -> None:
    errors = [e for e in worked(np.random.default_rng(7), 40, index_deg=-6.0) if e.eye is Eye.RIGHT]
    assert patterns(errors) == ()


def test_a_steady_error_under_a_degree_is_not_worth_saying() -> None:
    errors = worked(np.random.default_rng(8), 400, offset_deg=0.6)
    assert patterns(errors) == ()


def test_equal_readings_do_not_make_anything_certain() -> None:
    """Six lenses an eye, all read 2 degrees off: the hidden rounding keeps the confidence below one."""
    errors = [AxisError(eye, 2.0, "crab", 1, float(n)) for eye in Eye for n in range(6)]
    found = patterns(errors)
    assert codes(found) == {(PatternCode.INSTRUMENT_OFFSET, "crab")}
    assert 0.99 < found[0].confidence < 1.0


def test_nonsense_is_refused() -> None:
    with pytest.raises(OpticsError, match="axis error is 120 degrees"):
        patterns([AxisError(Eye.RIGHT, 120.0, "crab", 1, 0.0)])
    with pytest.raises(OpticsError, match="confidence"):
        patterns([], confidence=1.0)
    with pytest.raises(OpticsError, match="degrees of freedom"):
        t_tail(-1.0, 5.0)


def test_false_alarms_are_as_rare_as_promised() -> None:
    """300 quiet days of three benches at 95 %: 15 days may raise an alarm, three sigma more are 26."""
    rng = np.random.default_rng(9)
    alarms = 0
    for _ in range(300):
        errors = [
            e for bench in ("heron", "crab", "turtle") for e in worked(rng, 12, bench=bench, gross=0.03)
        ]
        alarms += bool(patterns(errors, confidence=0.95))
    assert alarms <= 15 + 3 * math.sqrt(300 * 0.05 * 0.95)


def test_a_real_kit_fault_is_found_on_a_usual_day() -> None:
    """12 pairs, spread 1.5 degrees, index 4.1 degrees off the pin: found in 95 of 100 days."""
    rng = np.random.default_rng(10)
    wanted = (PatternCode.INDEX_NOT_AT_PIN, "heron")
    found = sum(wanted in codes(patterns(worked(rng, 12, index_deg=-4.1))) for _ in range(100))
    assert found >= 95
