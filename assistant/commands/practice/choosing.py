"""Which pair is practised: the one of a recorded session with its mistake, or one drawn at random."""

from pathlib import Path

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.order import Order
from assistant.practice.rehearsal import NONE, PLANTED, CannotPractise, Chosen, drawn, rehearsed, slip_of
from assistant.practice.slips import Slip
from assistant.replay.mistakes import mistakes
from assistant.replay.opening import open_session
from assistant.workflow.events import OrderHandedOver

SESSIONS = Path(__file__).parents[3] / "demo_sessions"
Wanted = tuple[Order, Slip | None, Eye | None]


def chosen(kit: Kit, seed: int, session: str | None, plant: str | None) -> Chosen:
    """The pair of this seed. Raises `CannotPractise`, and what opening a session raises."""
    planted = None if plant is None else _slip(plant)
    if session is None:
        return rehearsed(kit, seed, drawn(seed) if plant is None else planted)
    order, slip, eye = pair_of(session_file(session))
    if plant is not None:
        slip, eye = planted, None
    return rehearsed(kit, seed, slip, order, eye)


def session_file(named: str) -> Path:
    """A file, or a session of `demo_sessions/` by its name. Raises `CannotPractise`."""
    for path in (Path(named), SESSIONS / named, SESSIONS / f"{named}.jsonl"):
        if path.is_file():
            return path
    raise CannotPractise(
        f"session {named!r} is not a file and not the name of one in {SESSIONS}; "
        f"`assistant replay {SESSIONS}` lists them"
    )


def pair_of(path: Path) -> Wanted:
    """The session's first order that was taken up and made, and the first mistake of the hands on it."""
    timeline = open_session(path).timeline
    orders = {
        event.order.case: event.order
        for event in (moment.event for moment in timeline)
        if isinstance(event, OrderHandedOver)
    }
    found: Wanted | None = None
    for moment in timeline:
        pair = moment.after.pair
        if pair is not None and pair.order.case in orders and found is None:
            found = (pair.order, None, None)
        for mistake in mistakes(moment.before, moment.event, moment.after):
            slip = slip_of(mistake.code)
            if found is not None and slip is not None and found[1] is None:
                found = (pair.order if pair is not None else found[0], slip, mistake.eye)
    if found is None:
        raise CannotPractise(f"{path}: no order of this session was made")
    return found


def _slip(named: str) -> Slip | None:
    if named == NONE:
        return None
    if named not in tuple(PLANTED):
        raise CannotPractise(
            f"mistake {named!r} cannot be planted; allowed are {', '.join((NONE, *PLANTED))}"
        )
    return Slip(named)
