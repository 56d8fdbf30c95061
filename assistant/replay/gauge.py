"""A reading against its window: what was read, what was allowed, and a bar drawn to scale. Pure.

The rows of the finished pair are the verdict's own; the other windows are those of the step's check, which a test
compares with what the check decided.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from assistant.hub.words import ROWS
from assistant.optics.power import Power, axis_difference_deg
from assistant.optics.tolerance import STANDARDS, RowVerdict
from assistant.replay.moments import Moment
from assistant.replay.timeline import Timeline
from assistant.workflow.checking import PairCheck
from assistant.workflow.checks_day import INDEX_LINE_DEG, corrected, power_entered
from assistant.workflow.entry import read_entry
from assistant.workflow.fields import listen_for, next_field
from assistant.workflow.making import planned_lens, setting_shown
from assistant.workflow.state import Bench, Refusal

_ON_LIMIT: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Gauge:
    """One figure in `unit`, and from what to what it may be (`low` None: from anything)."""

    name: str
    unit: str
    value: float
    low: float | None
    high: float
    aim: float | None = None
    within: bool = True


def gauges(moment: Moment) -> tuple[Gauge, ...]:
    """The readings that this event completed, each against its window; none where nothing was measured."""
    if moment.verdict is not None:
        return verdict_gauges(moment.before, moment.verdict)
    entered = _complete(moment)
    measure = None if entered is None else _MEASURES.get(entered.current.step)
    return () if measure is None or entered is None else measure(entered)


def gauges_at(timeline: Timeline, place: int) -> tuple[Gauge, ...]:
    """The same at a place of a timeline; a finished lens that was read there by the verdict that came of it."""
    moment = timeline[place]
    found = gauges(moment)
    if found or moment.item.step != "check" or not moment.finishes or moment.item.eye is None:
        return found
    read = moment.after.the_pair.work(moment.item.eye).reading
    verdicts = (later.verdict for later in timeline.moments[place:] if later.case == moment.case)
    coming = next((verdict for verdict in verdicts if verdict is not None), None)
    check = None if coming is None else coming.eye(moment.item.eye)
    if check is None or check.measured != read:
        return ()  # never judged, or read again before it was
    return tuple(_row("", row) for row in check.judgement.rows)


def _complete(moment: Moment) -> Bench | None:
    """The bench with this entry put in, if it was the last that the step asks for."""
    event, wanted = moment.entry, listen_for(moment.before)
    if event is None or wanted is None or (event.step, event.field) != (wanted.step, wanted.field):
        return None
    value = read_entry(event.text, wanted)
    if isinstance(value, Refusal):
        return None
    entered = replace(moment.before, entries=(*moment.before.entries, (wanted.field, value)))
    return entered if next_field(entered) is None else None


def _measured(
    name: str, unit: str, value: float, low: float | None, high: float, aim: float | None = None
) -> Gauge:
    within = (low is None or value >= low - _ON_LIMIT) and value <= high + _ON_LIMIT
    return Gauge(name, unit, value, low, high, aim, within)


def _about(name: str, unit: str, aim: float, off: float, allowed: float) -> Gauge:
    return _measured(name, unit, aim + off, aim - allowed, aim + allowed, aim)


def _row(whose: str, row: RowVerdict) -> Gauge:
    name, unit = ROWS[row.kind]
    if "imbalance" in row.kind:
        return Gauge(name, unit.strip(), row.error, 0.0, row.limit, 0.0, row.passed)
    return Gauge(f"{whose}{name} off", unit.strip(), row.error, -row.limit, row.limit, 0.0, row.passed)


def verdict_gauges(bench: Bench, check: PairCheck) -> tuple[Gauge, ...]:
    """The finished pair: each lens's rows, right first, then the pair's."""
    limits = bench.kit.limits
    lenses = [found for found in (check.right, check.left) if found is not None]
    return (
        *(_row(f"{found.eye.value} ", row) for found in lenses for row in found.judgement.rows),
        _about("centres off plan", "mm", 0.0, check.centres_error_mm, limits.centre_distance_tolerance_mm),
        _measured("height", "mm", check.height_mm, 0.0, limits.height_tolerance_mm, 0.0),
        *(_row("", row) for row in check.rows),
    )


def _zero(bench: Bench) -> tuple[Gauge, ...]:
    return (_about("sphere", "D", 0.0, bench.number("sphere"), bench.kit.focimeter.power_tolerance_d),)


def _reference(bench: Bench) -> tuple[Gauge, ...]:
    instrument = bench.kit.focimeter
    known = instrument.reference.minus_form
    read = corrected(power_entered(bench), bench.offsets).minus_form
    allowed = instrument.power_tolerance_d
    powers = (
        _about("sphere", "D", known.sphere, read.sphere - known.sphere, allowed),
        _about("cylinder", "D", known.cylinder, read.cylinder - known.cylinder, allowed),
    )
    if known.axis is None or read.axis is None:
        return powers
    off = axis_difference_deg(read.axis, known.axis)
    return (*powers, _about("axis", "°", known.axis, off, instrument.axis_tolerance_deg))


def _index(bench: Bench) -> tuple[Gauge, ...]:
    off = axis_difference_deg(bench.number("axis"), INDEX_LINE_DEG)
    return (_about("axis", "°", INDEX_LINE_DEG, off, bench.kit.focimeter.axis_tolerance_deg),)


def _read(bench: Bench) -> tuple[Gauge, ...]:
    lens = planned_lens(bench, bench.the_eye)
    measured = Power(bench.number("sphere") - bench.offsets.sphere_d, bench.number("cylinder"), 180.0)
    along = measured.minus_form
    label, read = Power(lens.sphere, lens.cylinder, 180.0), Power(along.sphere, along.cylinder, 180.0)
    judged = STANDARDS[bench.kit.standard].judge(label, read).rows
    return tuple(_row("", row) for row in judged if row.kind != "axis")


def _mark(bench: Bench) -> tuple[Gauge, ...]:
    shown = setting_shown(bench, bench.the_eye)
    if shown is None:
        return ()
    off = axis_difference_deg(bench.number("scale"), shown)
    return (_about("scale", "°", shown, off, bench.kit.protractor.step_deg / 2.0),)


def _cut(bench: Bench) -> tuple[Gauge, ...]:
    slot = bench.kit.slot
    depth = bench.number("depth")
    return (
        _measured("slot depth", "mm", depth, slot.least_depth_mm, slot.most_depth_mm, slot.aimed_depth_mm),
    )


def _trim(bench: Bench) -> tuple[Gauge, ...]:
    pin = bench.kit.pin
    longest = (bench.the_pair.work(bench.the_eye).depth_mm or 0.0) - pin.clearance_mm
    return (_measured("pin", "mm", bench.number("pin"), pin.least_engagement_mm, longest, longest),)


def _wearer(bench: Bench) -> tuple[Gauge, ...]:
    if not bench.entry("comfortable"):
        return ()
    return (_measured("reads 6 over", "", bench.number("acuity"), None, bench.kit.limits.acuity_question),)


_MEASURES: Final[Mapping[str, Callable[[Bench], tuple[Gauge, ...]]]] = {
    "zero": _zero,
    "reference": _reference,
    "index": _index,
    "read": _read,
    "mark": _mark,
    "cut": _cut,
    "trim": _trim,
    "wearer": _wearer,
}
"""Steps whose entries are measured against a window; the finished pair is judged as a whole."""
