"""Lenses as they move: promised, taken, given back, lost; and one eye planned again when its lens is gone."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from assistant.kit.stock import Move, Movement, Stock
from assistant.optics.eye import Eye
from assistant.workflow import agenda
from assistant.workflow.plan import ChosenLens, Plan, Verdict
from assistant.workflow.planning import replan_eye
from assistant.workflow.state import Bench, Item


def plannable(bench: Bench) -> Stock:
    """Stock that a plan may use: less what other benches hold, and without pockets found wrong."""
    return bench.stock.less(bench.elsewhere).without(bench.flagged)


def shared(bench: Bench, elsewhere: Mapping[int, int]) -> Bench:
    """What other benches hold, known anew. Raises `StockError` as `Stock.less` does."""
    bench.stock.less(elsewhere)
    return replace(bench, elsewhere=MappingProxyType(dict(elsewhere)))


def reserved(bench: Bench) -> Bench:
    """Promise both planned lenses to the pair."""
    pair = bench.the_pair
    for eye in pair.eyes:
        bench = _moved(bench, Move.RESERVED, pair.plan.eye(eye).lens)
    return bench


def released(bench: Bench) -> Bench:
    """Give up the promises on lenses that are still in their pockets; a plan to be returned promises none."""
    pair = bench.the_pair
    if pair.plan.verdict is Verdict.RETURN:
        return bench
    for eye in pair.eyes:
        bench = _released(bench, eye)
    return bench


def _released(bench: Bench, eye: Eye) -> Bench:
    pair = bench.the_pair
    lens = pair.plan.eye(eye).lens
    return bench if lens is None or pair.work(eye).fetched else _moved(bench, Move.RELEASED, lens)


def taken(bench: Bench, lens: ChosenLens) -> Bench:
    """Out of its pocket. A lens in the hand was there, though a count since the plan left none in the book."""
    if bench.stock.at(lens.pocket) == 0:
        bench = replace(bench, stock=bench.stock.applied(Movement(Move.COUNTED, lens.pocket, 1)))
    return _moved(bench, Move.TAKEN, lens)


def returned(bench: Bench, eye: Eye) -> Bench:
    return _moved(bench, Move.RETURNED, bench.the_pair.plan.eye(eye).lens)


def broken(bench: Bench, eye: Eye) -> Bench:
    return _moved(bench, Move.BROKEN, bench.the_pair.plan.eye(eye).lens)


def set_aside(bench: Bench, eye: Eye) -> Bench:
    """Blank stock, with the slots it has."""
    slots = bench.the_pair.work(eye).slots_deg
    return _moved(bench, Move.SET_ASIDE, bench.the_pair.plan.eye(eye).lens, slots_deg=slots)


def handed_over(bench: Bench) -> Bench:
    pair = bench.the_pair
    for eye in pair.eyes:
        bench = _moved(bench, Move.HANDED_OVER, pair.plan.eye(eye).lens)
    return bench


def found_empty(bench: Bench, lens: ChosenLens) -> Bench:
    """The pocket has no lens, whatever the stock says: it is counted as empty and its promise falls."""
    return _moved(_moved(bench, Move.RELEASED, lens), Move.COUNTED, lens, count=0)


def wrong_lens_found(bench: Bench, eye: Eye, lens: ChosenLens) -> Bench:
    """The lens in hand is not the pocket's: it is set aside, the pocket not used until counted."""
    return replace(set_aside(bench, eye), flagged=bench.flagged | {lens.pocket})


def counted(bench: Bench, pocket: int, count: int) -> Bench:
    """The supervisor's count. Raises `StockError` for a pocket the bank has not, or a count below 0."""
    stock = bench.stock.applied(Movement(Move.COUNTED, pocket, count))
    return _own_count(replace(bench, stock=stock, flagged=bench.flagged - {pocket}), pocket)


def replanned(bench: Bench, eye: Eye) -> Bench:
    """Another lens for `eye`, the other eye's kept. What was granted already is not asked again."""
    pair = bench.the_pair
    plan = replan_eye(pair.order, bench.kit, plannable(bench), pair.plan, eye, _frame_kept(bench))
    afresh = replace(pair, plan=plan, check=None).with_fresh_work(eye)
    todo = agenda.replaced(pair, eye)
    other_frame = _size(plan) != _size(pair.plan)
    granted = set(plan.reasons) <= set(pair.plan.reasons)
    if other_frame or plan.verdict is Verdict.RETURN or not granted:
        todo = (Item("plan"), *todo)
    bench = replace(bench, pair=replace(afresh, agenda=todo), entries=(), refusals=0)
    if plan.verdict is Verdict.RETURN:
        return _released(bench, eye.other)
    return _moved(bench, Move.RESERVED, plan.eye(eye).lens)


def _size(plan: Plan) -> float | None:
    return None if plan.frame is None else plan.frame.centre_distance_mm


def frames_left(bench: Bench) -> dict[float, int]:
    """Frames of each centre distance that have not gone with a wearer."""
    used = [done.centre_distance_mm for done in bench.closed]
    return {
        size.centre_distance_mm: sum(size.colours.values()) - used.count(size.centre_distance_mm)
        for size in bench.kit.frames
    }


def _frame_kept(bench: Bench) -> dict[float, int]:
    """Frames a new plan may use: only the one in hand, once a pin of it has been trimmed."""
    pair, left = bench.the_pair, frames_left(bench)
    if pair.plan.frame is None or all(pair.work(eye).pin_mm is None for eye in pair.eyes):
        return left
    in_hand = pair.plan.frame.centre_distance_mm
    return {size: count if size == in_hand else 0 for size, count in left.items()}


def _moved(
    bench: Bench, kind: Move, lens: ChosenLens | None, *, count: int = 1, slots_deg: tuple[float, ...] = ()
) -> Bench:
    if lens is None:
        raise ValueError("no lens is planned for this eye")
    moved = replace(bench, stock=bench.stock.applied(Movement(kind, lens.pocket, count, slots_deg)))
    return _own_count(moved, lens.pocket) if kind is Move.COUNTED else moved


def _own_count(bench: Bench, pocket: int) -> Bench:
    """A pocket counted here holds what was counted, whatever other benches took before."""
    rest = {other: held for other, held in bench.elsewhere.items() if other != pocket}
    return replace(bench, elsewhere=MappingProxyType(rest))
