"""What remains to be done for a pair, as a tuple of (step, eye): the usual way, and the ways back."""

from dataclasses import replace

from assistant.optics.eye import Eye
from assistant.workflow.state import Agenda, Bench, Item, Pair
from assistant.workflow.steps import DAY, FINISHING, MAKING, VOICE


def day_agenda() -> Agenda:
    """The start-of-day checks, in order."""
    return tuple(Item(step) for step in DAY)


def _with_voice(agenda: Agenda) -> Agenda:
    """The day's checks of a bench that finds out whether the helper is understood."""
    place = agenda.index(Item("sound")) + 1
    return (*agenda[:place], Item(VOICE), *agenda[place:])


def making(eye: Eye, first: str = "fetch") -> Agenda:
    """Steps for one eye from `first` to fitting the lens."""
    return tuple(Item(step, eye) for step in MAKING[MAKING.index(first) :])


def whole(eyes: tuple[Eye, ...]) -> Agenda:
    """A pair from its plan to the hand-over: one eye made after the other, then the pair checked."""
    made = tuple(item for eye in eyes for item in making(eye))
    checked = tuple(Item("check", eye) for eye in eyes)
    return (Item("plan"), *made, *checked, *(Item(step) for step in FINISHING))


def replaced(pair: Pair, eye: Eye) -> Agenda:
    """A new lens for `eye` before the rest of the agenda; steps already pending for that eye are dropped."""
    pending = tuple(item for item in pair.agenda if item.eye is not eye or item.step == "check")
    if Item("check", eye) not in pending:
        pending = (Item("check", eye), *pending)
    if Item("verdict") not in pending:
        pending = (*pending, *(Item(step) for step in FINISHING[1:]))
    return all_checked((*making(eye), *(item for item in pending if item != Item("plan"))), pair.eyes)


def all_checked(todo: Agenda, eyes: tuple[Eye, ...]) -> Agenda:
    """The same with every lens read again before the verdict: a frame worked on has had both in its rims."""
    missing = tuple(Item("check", eye) for eye in eyes if Item("check", eye) not in todo)
    place = next(n for n, item in enumerate(todo) if item.step in ("distance", "verdict"))
    return (*todo[:place], *missing, *todo[place:])


def both_refitted(eyes: tuple[Eye, ...], first: str) -> Agenda:
    """Both lenses from `first` (fit: swapped lenses; trim: another frame), then everything checked."""
    made = tuple(item for eye in eyes for item in making(eye, first))
    return (*made, *(Item("check", eye) for eye in eyes), *(Item(step) for step in FINISHING))


def overnight(pair: Pair) -> Pair:
    """A lens dotted and not yet marked is dotted anew: the scale setting allows for the focimeter of today."""
    first = pair.agenda[0]
    return replace(pair, agenda=(Item("dot", first.eye), *pair.agenda)) if first.step == "mark" else pair


def trail(bench: Bench) -> tuple[Agenda, int]:
    """The whole way the bench is on, and where on it the current item stands; for the row of step signs."""
    item = bench.current
    if bench.day is not None and bench.day.agenda:
        way = _with_voice(day_agenda()) if bench.day.numbers else day_agenda()
    elif bench.pair is not None:
        way = (Item("order"), *whole(bench.pair.eyes))
    else:
        way = (item,)
    return (way, way.index(item)) if item in way else ((item,), 0)
