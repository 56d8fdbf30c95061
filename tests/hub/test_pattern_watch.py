"""Patterns over all benches: found when lenses come, gone with a bench, and not looked for at every line."""

from collections.abc import Iterable
from random import Random

import pytest

from assistant.hub import pattern_watch
from assistant.hub.pattern_watch import AGAIN_S, FEW, MOST_ERRORS, PatternWatch
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError, Pattern, patterns

NOW = 1_793_600_000.0


def lenses(count: int, bench: str = "heron", turned_deg: float = 4.0) -> list[AxisError]:
    """Axes of both eyes turned the same way: an instrument that is off."""
    random = Random(bench)
    return [
        AxisError(list(Eye)[at % 2], turned_deg + random.gauss(0.0, 0.5), bench, 1, NOW + at)
        for at in range(count)
    ]


@pytest.fixture
def looked(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many lenses were looked at, each time."""
    counts: list[int] = []

    def counting(errors: Iterable[AxisError]) -> tuple[Pattern, ...]:
        known = list(errors)
        counts.append(len(known))
        return patterns(known)

    monkeypatch.setattr(pattern_watch, "patterns", counting)
    return counts


def test_a_pattern_is_found_as_lenses_come_and_goes_with_its_bench(looked: list[int]) -> None:
    watch = PatternWatch()
    assert watch.found(NOW) == ()
    watch.take(lenses(40))
    assert [pattern.bench for pattern in watch.found(NOW)] == ["heron"]
    watch.take(())
    watch.found(NOW + 1.0)
    assert looked == [40]
    watch.forget("heron")
    assert watch.found(NOW) == ()


def test_many_lenses_are_looked_at_once_a_minute(looked: list[int]) -> None:
    watch = PatternWatch()
    watch.take(lenses(FEW + 1))
    watch.found(NOW)
    for second in range(1, int(AGAIN_S)):
        watch.take(lenses(1))
        watch.found(NOW + second)
    assert looked == [FEW + 1]
    watch.found(NOW + AGAIN_S)
    assert looked == [FEW + 1, FEW + int(AGAIN_S)]


def test_a_clock_set_back_does_not_stop_it(looked: list[int]) -> None:
    watch = PatternWatch()
    watch.take(lenses(FEW + 1))
    watch.found(NOW)
    watch.take(lenses(1))
    watch.found(NOW - 3600.0)
    assert len(looked) == 2


def test_the_newest_are_kept() -> None:
    watch = PatternWatch()
    watch.take(lenses(MOST_ERRORS))
    watch.take(lenses(3, "crab"))
    assert len(watch.errors) == MOST_ERRORS
    assert [one.bench for one in list(watch.errors)[-4:]] == ["heron", "crab", "crab", "crab"]
