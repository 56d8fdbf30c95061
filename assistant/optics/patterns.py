"""What many pairs show that one cannot: a kit that is marked wrongly, an instrument that is off, a person
whose work gets looser.

Axis errors are measured minus ordered, degrees, anticlockwise in front view. A pin that the nasal index
ignores turns the right lens one way and the left the other, so half the difference of the two eyes' means is
the kit's error; an instrument that is off turns both alike, so half their sum is the instrument's. Both are
tested by Welch's t (unequal spreads; Welch, Biometrika 1947;34:28, from memory). Looser work shows as
distances from the bench's own median that grow with time: Spearman's rank correlation of distance and order,
one-sided, by its t approximation (from memory).

Single large mistakes (a lens face down) are no pattern: errors beyond `GROSS_DEG` are left out of the means,
and ranks keep them from ruling the spread. Every finding's chance of being a false alarm is multiplied by
the number of tests made (Bonferroni), so the confidence is that of the whole report.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from assistant.optics.eye import Eye
from assistant.optics.power import Floats, OpticsError, require_range

GROSS_DEG: Final = 20.0
"""Beyond it an error is one mistake with a cause of its own. Common practice, no source."""
LEAST_PER_EYE: Final = 6
LEAST_FOR_SPREAD: Final = 12
LEAST_WORTH_DEG: Final = 1.0
"""A steady error smaller than a mark of the scale is not worth a supervisor's time."""


class PatternCode(StrEnum):
    INDEX_NOT_AT_PIN = "index_not_at_pin"
    """Opposite in the two eyes: the kit's marking does not allow for the pin."""
    INSTRUMENT_OFFSET = "instrument_offset"
    """Alike in the two eyes: the focimeter's or the protractor's zero is off."""
    GROWING_SPREAD = "growing_spread"
    """A helper's errors grow: someone needs help."""


@dataclass(frozen=True, slots=True)
class AxisError:
    """One finished lens as checked. `at` in seconds; `error_deg` measured minus ordered."""

    eye: Eye
    error_deg: float
    bench: str
    helper: int
    at: float


@dataclass(frozen=True, slots=True)
class Pattern:
    """One finding, with how sure."""

    code: PatternCode
    bench: str | None
    """None: all benches together, where no single one shows it."""
    helper: int | None
    amount_deg: float
    """Right eye's share of the steady error, signed; for a growing spread the late median distance."""
    plus_minus_deg: float
    """Half width of the steady error's 95 % interval; for a growing spread the early median distance."""
    lenses: int
    confidence: float
    """1 minus the chance that no such pattern is there, over all tests of the report."""


@dataclass(frozen=True, slots=True)
class _Steady:
    """A mean of two eyes' means, with its standard error and Welch's degrees of freedom."""

    mean: float
    error: float
    freedom: float

    @property
    def chance(self) -> float:
        return 2.0 * t_tail(abs(self.mean) / self.error, self.freedom)


def patterns(errors: Iterable[AxisError], confidence: float = 0.99) -> tuple[Pattern, ...]:
    """What the errors show, surest first; empty where they show nothing at this confidence.

    Raises `OpticsError` for an error that is no turn of a lens, or a confidence outside 0.5 to 0.9999.
    """
    require_range("confidence", confidence, 0.5, 0.9999)
    rows = tuple(errors)
    for row in rows:
        require_range("axis error", row.error_deg, -90.0, 90.0, " degrees")
    by_bench = {bench: [r for r in rows if r.bench == bench] for bench in sorted({r.bench for r in rows})}
    steady = [p for bench, own in by_bench.items() for p in _steady_patterns(bench, own)]
    pooled = _steady_patterns(None, rows) if len(by_bench) > 1 else []
    helpers = sorted({(row.bench, row.helper) for row in rows})
    spreads = [
        p
        for bench, helper in helpers
        for p in _growing(bench, helper, [r for r in by_bench[bench] if r.helper == helper])
    ]
    tests = len(steady) + len(pooled) + len(spreads)
    found = _sure((*steady, *spreads), tests, confidence)
    named = {pattern.code for pattern in found}
    found += [pattern for pattern in _sure(pooled, tests, confidence) if pattern.code not in named]
    return tuple(sorted(found, key=lambda p: (-p.confidence, p.code, p.bench or "")))


def t_tail(t: float, freedom: float) -> float:
    """Chance that Student's t exceeds `t` (0 or more), by Simpson's rule on the angle arctan(t / sqrt(n)).

    With t = sqrt(n) tan(u) the density becomes cos(u)^(n-1) over a finite range, so no tail is cut off. Right
    to a millionth from 2 degrees of freedom. Raises `OpticsError` for t below 0 or freedom below 1.
    """
    if not (t >= 0 and freedom >= 1):
        raise OpticsError(f"t is {t:g} at {freedom:g} degrees of freedom; allowed is 0 or more at 1 or more")
    u = np.linspace(math.atan(t / math.sqrt(freedom)), math.pi / 2.0, 601)
    density = np.cos(u) ** (freedom - 1.0)
    weights = np.ones_like(u)
    weights[1:-1:2], weights[2:-1:2] = 4.0, 2.0
    area = float(weights @ density) * float(u[1] - u[0]) / 3.0
    scale = math.exp(math.lgamma((freedom + 1.0) / 2.0) - math.lgamma(freedom / 2.0)) / math.sqrt(math.pi)
    return min(0.5, scale * area)


def _steady_patterns(bench: str | None, rows: Sequence[AxisError]) -> list[Pattern]:
    """Both steady errors of one bench, whatever their size; none where an eye has too few lenses."""
    kept = [row for row in rows if abs(row.error_deg) <= GROSS_DEG]
    right, left = (_errors(kept, eye) for eye in Eye)
    if min(right.size, left.size) < LEAST_PER_EYE:
        return []
    found = {
        PatternCode.INDEX_NOT_AT_PIN: _welch(right, -left),
        PatternCode.INSTRUMENT_OFFSET: _welch(right, left),
    }
    return [
        Pattern(code, bench, None, s.mean, t_quantile(0.975, s.freedom) * s.error, len(kept), 1.0 - s.chance)
        for code, s in found.items()
    ]


def _welch(right: Floats, left: Floats) -> _Steady:
    """Half the sum of two means; their variances need not be equal."""
    parts = [max(float(np.var(e, ddof=1)), _LEAST_VARIANCE) / e.size for e in (right, left)]
    freedom = sum(parts) ** 2 / sum(p**2 / (e.size - 1) for p, e in zip(parts, (right, left), strict=True))
    mean = (float(right.mean()) + float(left.mean())) / 2.0
    return _Steady(mean, math.sqrt(sum(parts)) / 2.0, freedom)


_LEAST_VARIANCE: Final = 1.0 / 12.0
"""Readings come in whole degrees; equal ones still hide the spread of that rounding."""


def t_quantile(share: float, freedom: float) -> float:
    """Student's t below which `share` (0.5 to 0.9999) of the chance lies, by halving."""
    require_range("share", share, 0.5, 0.9999)
    low, high = 0.0, 1.0
    while t_tail(high, freedom) > 1.0 - share:
        high *= 2.0
    for _ in range(40):
        middle = (low + high) / 2.0
        low, high = (middle, high) if t_tail(middle, freedom) > 1.0 - share else (low, middle)
    return high


def _growing(bench: str, helper: int, rows: Sequence[AxisError]) -> list[Pattern]:
    """Whether one helper's errors at one bench spread out with time."""
    if len(rows) < LEAST_FOR_SPREAD:
        return []
    ordered = sorted(rows, key=lambda row: row.at)
    middles = {eye: float(np.median(own)) for eye in Eye if (own := _errors(ordered, eye)).size}
    away = np.array([abs(row.error_deg - middles[row.eye]) for row in ordered])
    rank = float(np.corrcoef(_ranks(away), np.arange(away.size))[0, 1]) if np.ptp(away) > 0 else 0.0
    freedom = away.size - 2.0
    t = rank * math.sqrt(freedom / max(1.0 - rank**2, 1e-12))
    chance = t_tail(t, freedom) if t > 0 else 1.0
    third = away.size // 3
    late, early = float(np.median(away[-third:])), float(np.median(away[:third]))
    return [Pattern(PatternCode.GROWING_SPREAD, bench, helper, late, early, away.size, 1.0 - chance)]


def _ranks(values: Floats) -> Floats:
    """Ranks from 0, equal values sharing their mean rank."""
    _, place, count = np.unique(values, return_inverse=True, return_counts=True)
    ends = np.cumsum(count)
    return np.asarray((ends - (count + 1) / 2.0)[place], float)


def _errors(rows: Sequence[AxisError], eye: Eye) -> Floats:
    return np.array([row.error_deg for row in rows if row.eye is eye], float)


def _sure(tried: Sequence[Pattern], tests: int, confidence: float) -> list[Pattern]:
    over_all = [_over_all(pattern, tests) for pattern in tried]
    return [pattern for pattern in over_all if pattern.confidence >= confidence and _worth(pattern)]


def _over_all(pattern: Pattern, tests: int) -> Pattern:
    """The same with its confidence over all the tests made."""
    return replace(pattern, confidence=1.0 - min(1.0, (1.0 - pattern.confidence) * tests))


def _worth(pattern: Pattern) -> bool:
    if pattern.code is PatternCode.GROWING_SPREAD:
        return pattern.amount_deg - pattern.plus_minus_deg >= LEAST_WORTH_DEG
    return abs(pattern.amount_deg) >= LEAST_WORTH_DEG
