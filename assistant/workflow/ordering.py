"""From the queue, or from keys, to a plan: taking up an order and giving it back."""

from dataclasses import replace

from assistant.optics.eye import Eye
from assistant.optics.order import EyeKind, EyeOrder, Order, Purpose
from assistant.optics.power import Power
from assistant.workflow import agenda, lenses, making
from assistant.workflow.fields import ORDER_BALANCE, ORDER_NONE
from assistant.workflow.plan import Verdict
from assistant.workflow.planning import plan_pair
from assistant.workflow.state import Bench, Closed, Item, Pair, Question, Refused, refused


def order(bench: Bench) -> Bench | Refused:
    """Take the order at this place in the queue, or 0 to key one in."""
    choice = int(bench.number("choice"))
    if choice == 0:
        return replace(bench, keying=True, entries=(), refusals=0)
    return taken_up(bench, bench.queue[choice - 1])


def key_order(bench: Bench) -> Bench | Refused:
    """An order keyed at the bench, read back as a whole; a no keys it again from the start."""
    if not bench.entry("read_back"):
        return refused(bench, "order_not_right")
    if not bench.entry("case"):
        return refused(bench, "case_missing")
    return taken_up(bench, keyed_order(bench))


def keyed_order(bench: Bench) -> Order:
    vertex = bench.number("vertex")
    return Order(
        right=_keyed_eye(bench, "right"),
        left=_keyed_eye(bench, "left"),
        pd_mm=bench.number("pd"),
        refraction_vertex_mm=vertex or None,
        purpose=Purpose.NEAR if bench.number("purpose") == 2 else Purpose.FAR,
        case=str(bench.entry("case")),
    )


def _keyed_eye(bench: Bench, eye: str) -> EyeOrder:
    kind = bench.entry(f"{eye}_kind")
    if kind == ORDER_NONE:
        return EyeOrder(None, EyeKind.NONE)
    if kind == ORDER_BALANCE:
        return EyeOrder(None, EyeKind.BALANCE)
    axis = bench.entry(f"{eye}_axis")
    cylinder = bench.number(f"{eye}_cylinder")
    return EyeOrder(Power(bench.number(f"{eye}_sphere"), cylinder, None if axis is None else float(axis)))


def handed_over(bench: Bench, order: Order) -> Bench:
    """One more order waits. One of the same case that waits still is what the clinician has put right by it."""
    waiting = tuple(known for known in bench.queue if known.case != order.case)
    put_right = set(bench.queue) - set(waiting)
    kept = tuple(known for known in bench.orders if known not in put_right) if put_right else bench.orders
    return replace(bench, orders=(*kept, order), queue=(*waiting, order))


def waiting_again(before: Bench, bench: Bench) -> tuple[Order, ...]:
    """The queue when an entry is taken back: an order that it took up waits in its place again, and what came
    meanwhile stays."""
    if bench.pair is None or before.pair is not None:
        return bench.queue
    there, came = {*bench.queue, bench.pair.order}, set(bench.queue) - set(before.queue)
    return tuple(order for order in before.queue if order in there) + tuple(
        order for order in bench.queue if order in came
    )


def taken_up(bench: Bench, wanted: Order) -> Bench:
    """Plan the order from what is in stock now; its lenses are promised to it at once."""
    made = ((done.date, done.case) for done in bench.closed if done.outcome == "handed_over")
    repeated = (bench.the_day.date, wanted.case) in made
    plan = plan_pair(
        wanted, bench.kit, lenses.plannable(bench), frames_left=lenses.frames_left(bench), repeated=repeated
    )
    pair = Pair(wanted, plan, (Item("plan"),), started_at=bench.step_at)
    if plan.verdict is not Verdict.RETURN:
        pair = replace(pair, agenda=agenda.whole(pair.eyes))
    begun = replace(
        bench,
        pair=pair,
        queue=tuple(waiting for waiting in bench.queue if waiting != wanted),
        keying=False,
        entries=(),
        refusals=0,
    )
    return lenses.reserved(begun) if plan.verdict is not Verdict.RETURN else begun


def plan(bench: Bench) -> Bench:
    """Make it, ask the supervisor first, or send it back to the clinician."""
    pair = bench.the_pair
    if pair.plan.verdict is Verdict.MAKE:
        return bench.popped()
    if pair.plan.verdict is Verdict.ASK:
        codes = tuple(reason.code for reason in pair.plan.reasons)
        return replace(bench, entries=(), question=Question("plan", codes))
    return given_up(bench, "returned")


def given_up(bench: Bench, outcome: str) -> Bench:
    """Stop making this pair: promises are released, lenses out of their pockets are accounted for.

    A lens that is at the cutter counts as cut: its slot may be there though no depth stands.
    """
    at = bench.the_pair.agenda[0]
    if at.step == "cut" and at.eye is not None:
        bench = making.with_new_slot(bench, at.eye)
    pair = bench.the_pair
    out = tuple(Item("account", eye) for eye in Eye if pair.work(eye).fetched)
    stopped = lenses.released(
        replace(bench, pair=replace(pair, agenda=out, outcome=outcome), entries=(), refusals=0)
    )
    return stopped if out else closed(stopped)


def account(bench: Bench) -> Bench:
    """A lens of a pair given up: uncut it goes back to its pocket, cut it is blank stock."""
    eye = bench.the_eye
    pair = bench.the_pair
    if not bench.entry("whole"):
        settled = lenses.broken(bench, eye)
    elif not pair.work(eye).slots_deg:
        settled = lenses.returned(bench, eye)
    else:
        settled = lenses.set_aside(bench, eye)
    after = settled.popped()
    return after if after.the_pair.agenda else closed(after)


def closed(bench: Bench) -> Bench:
    """The record of the pair closes; the next order may be taken up."""
    pair = bench.the_pair
    if pair.outcome == "handed_over":
        bench = lenses.handed_over(bench)
    frame = pair.plan.frame
    used = frame.centre_distance_mm if frame is not None and pair.outcome == "handed_over" else None
    entry = Closed(bench.the_day.date, pair.order.case, pair.outcome, pair.started_at, bench.step_at, used)
    return replace(bench, pair=None, entries=(), closed=(*bench.closed, entry), refusals=0)
