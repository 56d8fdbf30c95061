"""Which entries the current step still wants, and the limits of each."""

from assistant.workflow.effects import Listen
from assistant.workflow.events import Room
from assistant.workflow.state import Bench
from assistant.workflow.steps import BY_ID, VOICE, Field, FieldKind

ORDERS_OFFERED = 6
"""Orders that may be chosen from at a time: as many as the picture shows."""
ORDER_POWER, ORDER_BALANCE, ORDER_NONE = 1, 2, 3
"""What the first figure keyed for an eye means: a power, a balance lens, no lens."""

_LIMITS: dict[str, tuple[float, float]] = {
    "picture": (1, 9),
    "purpose": (1, 2),
    "right_kind": (ORDER_POWER, ORDER_NONE),
    "left_kind": (ORDER_POWER, ORDER_NONE),
    "choice": (0, 9),
    "pd": (30, 90),
    "vertex": (0, 30),
    "depth": (0, 10),
    "pin": (0, 20),
    "centres": (30, 90),
    "height": (0, 20),
}
_KIND_LIMITS: dict[FieldKind, tuple[float, float]] = {
    # a focimeter's scale; with these a power stays possible in the other cylinder form too
    FieldKind.POWER: (-25, 25),
    FieldKind.CYLINDER: (-12, 12),
    FieldKind.AXIS: (0, 180),
    FieldKind.ACUITY: (3, 60),
}


def fields(bench: Bench) -> tuple[Field, ...]:
    """The fields of the current step, less those that earlier entries or the plan make empty."""
    item = bench.current
    if item.step not in BY_ID:
        return ()
    if (item.step == "mark" and _any_bearing(bench)) or (item.step == VOICE and _too_loud(bench)):
        return (Field("done", FieldKind.DONE),)
    return tuple(f for f in BY_ID[item.step].fields if not _skipped(bench, f.name))


def next_field(bench: Bench) -> Field | None:
    """The first field of the current step without an entry; None when all are in."""
    return next((f for f in fields(bench) if bench.entry(f.name) is None), None)


def listen_for(bench: Bench) -> Listen | None:
    """The one entry that is wanted now."""
    field = next_field(bench)
    if field is None:
        return None
    low, high = _LIMITS.get(field.name, _KIND_LIMITS.get(field.kind, (None, None)))
    if field.name == "language":
        low, high = 1, len(bench.the_day.languages)
    elif field.name == "choice":
        high = min(ORDERS_OFFERED, len(bench.queue))
    digits = 2 if field.kind is FieldKind.CHECK_NUMBER else None
    return Listen(bench.current.step, field.name, field.kind, low, high, digits)


def _too_loud(bench: Bench) -> bool:
    """Whether there is no use in asking the helper to say anything."""
    return bench.day is not None and bench.day.room is Room.BAD


def _any_bearing(bench: Bench) -> bool:
    """Whether the lens in hand has no cylinder, so that its slot may sit anywhere."""
    eye = bench.current.eye
    if eye is None or bench.pair is None:
        return False
    return bench.pair.plan.eye(eye).scale_setting_deg is None


def _skipped(bench: Bench, name: str) -> bool:
    """Whether an earlier entry of this step makes the field `name` empty."""
    eye, _, figure = name.rpartition("_")
    prefix = f"{eye}_" if eye else ""
    if eye and bench.entry(f"{eye}_kind") in (ORDER_BALANCE, ORDER_NONE) and figure != "kind":
        return True
    return figure == "axis" and bench.entry(f"{prefix}cylinder") == 0.0
