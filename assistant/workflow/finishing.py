"""The pair on the focimeter and the rule: verdict, rescue, wearer, hand-over."""

from dataclasses import replace

from assistant.optics.eye import Eye
from assistant.optics.power import Power
from assistant.optics.rescue import Rescue, RescueKind
from assistant.workflow import agenda, lenses
from assistant.workflow.checking import PairCheck, check_pair
from assistant.workflow.ordering import closed
from assistant.workflow.state import Agenda, Bench, Item, Pair, Question

MOST_RESCUES = 3
"""After so many tries the supervisor looks at the pair before it is worked on again."""


def distance(bench: Bench) -> Bench:
    """The last two readings; only now is anything judged, both eyes and the pair together."""
    pair = replace(bench.the_pair, centres_mm=bench.number("centres"), height_mm=bench.number("height"))
    return replace(bench, pair=pair).popped()


def judged(bench: Bench) -> Bench:
    """The pair with its check worked out, once every reading is in and the verdict is next."""
    pair = bench.pair
    if pair is None or pair.check is not None or pair.agenda[:1] != (Item("verdict"),):
        return bench
    readings = {
        eye: read
        for eye in pair.eyes
        if (read := pair.work(eye).reading) is not None and not pair.plan.eye(eye).balance
    }
    for eye, read in readings.items():
        pair = pair.with_work(eye, slots_deg=_slots_as_read(bench, pair, eye, read))
    slots = {eye: pair.work(eye).slots_deg for eye in pair.eyes}
    result = check_pair(
        pair.plan,
        readings,
        pair.centres_mm or 0.0,
        pair.height_mm or 0.0,
        bench.kit,
        slots,
        pair.order,
        bench.offsets.of_marking,
    )
    return replace(bench, pair=replace(pair, check=result))


def _slots_as_read(bench: Bench, pair: Pair, eye: Eye, read: Power) -> tuple[float, ...]:
    """The slot that sits on the pin lies where the reading says, not where it was meant to lie."""
    slots = pair.work(eye).slots_deg
    axis = read.minus_form.axis
    if axis is None or not slots:
        return slots
    return (*slots[:-1], (bench.kit.pin_bearing_deg(eye) - axis) % 360.0)


def verdict(bench: Bench) -> Bench:
    """Passed: on to the wearer. Failed: the way back that the check found."""
    pair = bench.the_pair
    if pair.check is None:
        raise ValueError("the pair has not been checked")
    if pair.check.passed:
        return bench.popped()
    if pair.rescues >= MOST_RESCUES:
        return replace(bench, entries=(), question=Question("stuck", pair.check.codes))
    return rescued(bench)


def found(check: PairCheck) -> tuple[str, ...]:
    """Prompt ids of what a failed check found: for each lens cause and way back, then the pair's.

    Where two causes fit, both, and what would tell them apart.
    """
    ids: list[str] = []
    for lens in (check.right, check.left):
        if lens is not None and not lens.passed:
            ids.append(f"cause-{lens.causes[0].code.value}")
            if lens.rival is not None:
                ids += ["cause-or", f"cause-{lens.rival.code.value}", lens.causes[0].ask_id]
            ids.append(f"rescue-{lens.rescue.kind.value}")
    return (*ids, *(f"cause-{code}" for code in check.faults))


def rescued(bench: Bench) -> Bench:
    """Begin the rescue: the agenda goes back to the first step that must be done again."""
    pair = replace(bench.the_pair, rescues=bench.the_pair.rescues + 1)
    bench = replace(bench, pair=pair, entries=(), refusals=0)
    ways = {eye: _way_back(pair, eye) for eye in pair.eyes if not _passed(pair, eye)}
    if any(way.kind is RescueKind.SWAP_LENSES for way in ways.values()):
        return _restarted(bench, agenda.both_refitted(pair.eyes, "fit"), pair.eyes, RescueKind.SWAP_LENSES)
    if not ways:
        return _restarted(bench, agenda.both_refitted(pair.eyes, "trim"), pair.eyes)
    for eye in reversed(ways):
        bench = _rescued_eye(bench, eye, ways[eye])
    return bench


def _passed(pair: Pair, eye: Eye) -> bool:
    found = pair.check.eye(eye) if pair.check is not None else None
    return found is None or found.passed


def _way_back(pair: Pair, eye: Eye) -> Rescue:
    """The rescue found by the check; one that was tried on this lens before gives way to its alternative."""
    found = pair.check.eye(eye) if pair.check is not None else None
    if found is None:
        raise ValueError(f"the {eye.value} eye has not been checked")
    way = found.rescue
    while way.kind in pair.work(eye).tried and way.otherwise is not None:
        way = way.otherwise
    return way


def _rescued_eye(bench: Bench, eye: Eye, way: Rescue) -> Bench:
    pair = bench.the_pair
    if way.kind is RescueKind.SET_ASIDE:
        return lenses.replanned(lenses.set_aside(bench, eye), eye)
    rest = tuple(item for item in pair.agenda if item.eye is not eye)
    if way.kind is RescueKind.TURN_OVER:
        asked = (Item("side", eye), *agenda.making(eye, "fit"), Item("check", eye), *rest)
        asked = agenda.all_checked(asked, pair.eyes)
        # kept with the eye: the other eye's rescue may begin first, and the check is gone with it
        return replace(bench, pair=replace(pair.with_work(eye, way=way), agenda=asked, check=None))
    first = "fit"
    if way.kind is RescueKind.SECOND_SLOT:
        first = "dot" if way.dot_again else "mark"
        bench = replace(bench, pair=pair.with_work(eye, depth_mm=None, pin_mm=None))
    todo = (*agenda.making(eye, first), Item("check", eye), *rest)
    return _restarted(bench, agenda.all_checked(todo, pair.eyes), (eye,), way.kind)


def side(bench: Bench) -> Bench:
    """A lens that reads as if face down: turned over only if its hollow side is out."""
    eye = bench.the_eye
    way = bench.the_pair.work(eye).way
    outward = bench.entry("outward")
    bench = bench.popped()
    pair = bench.the_pair
    if outward and way is not None and way.otherwise is not None:
        return _rescued_eye(bench, eye, way.otherwise)
    *older, worn = pair.work(eye).slots_deg
    # the slot on the pin was read from behind; the others are known from when they were cut
    bench = replace(bench, pair=pair.with_work(eye, slots_deg=(*older, -worn % 360.0)))
    return _restarted(bench, pair.agenda, (eye,), RescueKind.TURN_OVER)


def _restarted(bench: Bench, todo: Agenda, eyes: tuple[Eye, ...], kind: RescueKind | None = None) -> Bench:
    pair = bench.the_pair
    for eye in eyes:
        tried = pair.work(eye).tried
        pair = pair.with_work(eye, reading=None, tried=tried if kind is None else (*tried, kind))
    return replace(bench, pair=replace(pair, agenda=todo, check=None))


def wearer(bench: Bench) -> Bench:
    """Pads, sides and sight. A wearer who is not served well is the supervisor's question."""
    found = {
        "not_comfortable": not bench.entry("comfortable"),
        "acuity_low": bench.number("acuity") > bench.kit.limits.acuity_question,
    }
    reasons = tuple(code for code, is_so in found.items() if is_so)
    return replace(bench, entries=(), question=Question("wearer", reasons)) if reasons else bench.popped()


def hand_over(bench: Bench) -> Bench:
    return closed(bench)
