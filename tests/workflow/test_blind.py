"""Nothing at a blind step depends on what is expected: benches that expect different figures show and say the same.

Figures are exchanged in the bench itself, so this holds for whatever is shown now or later, also after a power cut,
an entry taken back, a refusal, a call for help or a rescue.
"""

from dataclasses import replace

from any_events import KINDS, act
from hands import Hands, hands_on, order_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.kit.profile import Kit
from assistant.optics.power import parse_power
from assistant.workflow.advance import advance
from assistant.workflow.events import Answered, AskedAgain
from assistant.workflow.fields import listen_for
from assistant.workflow.plan import EyePlan
from assistant.workflow.present import present
from assistant.workflow.state import Bench
from assistant.workflow.steps import BY_ID

OTHER = parse_power("+7.75/-2.50x77")


def expecting(plan: EyePlan) -> EyePlan:
    """The same eye, of which everything else is expected."""
    if plan.lens is None:
        return plan
    lens = replace(plan.lens, sphere=OTHER.sphere, cylinder=OTHER.cylinder)
    return replace(
        plan,
        ordered=OTHER,
        needed=OTHER,
        target=OTHER,
        lens=lens,
        mean_error_d=0.4,
        blur_d=0.4,
        axis_window_deg=9.0,
    )


def other(bench: Bench) -> Bench:
    """The same bench with another reference lens and, in the making, another order and plan."""
    focimeter = replace(bench.kit.focimeter, reference=OTHER)
    bench = replace(bench, kit=replace(bench.kit, focimeter=focimeter))
    pair = bench.pair
    if pair is None:
        return bench
    frame = None if pair.plan.frame is None else replace(pair.plan.frame, centre_distance_mm=71.5)
    plan = replace(
        pair.plan, right=expecting(pair.plan.right), left=expecting(pair.plan.left), frame=frame, reasons=()
    )
    unlike = order_of("+7.75/-2.50x77", "+7.75/-2.50x77", pd=71.0, case=pair.order.case)
    return replace(bench, pair=replace(pair, plan=plan, order=unlike))


def is_blind(bench: Bench) -> bool:
    step = BY_ID.get(bench.current.step)
    return step is not None and step.blind


def alike(bench: Bench) -> None:
    """Shown, asked for again, and refused: all of it the same."""
    unlike, listening = other(bench), listen_for(bench)
    assert present(unlike) == present(bench)
    assert listening is not None
    for event in (
        AskedAgain(at=1.0),
        Answered(at=1.0, step=listening.step, field=listening.field, text="abc"),
        Answered(at=1.0, step=listening.step, field=listening.field, text="999"),
        Answered(at=1.0, step="hand_over", field="done", text=""),
    ):
        assert advance(unlike, event)[1] == advance(bench, event)[1]


def test_every_blind_step_of_a_pair_is_blind(hands: Hands) -> None:
    seen = set()
    while not hands.bench.closed:
        if is_blind(hands.bench):
            alike(hands.bench)
            seen.add((hands.bench.current.step, hands.listening().field))
        hands.step()
    assert seen == {
        (step.id, field.name) for step in BY_ID.values() if step.blind for field in step.fields
    } - {("read", "axis")}


def test_the_exchange_shows_where_a_step_is_not_blind(hands: Hands) -> None:
    for step in ("plan", "mark"):
        hands.until(step)
        assert present(other(hands.bench)) != present(hands.bench)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.integers(0, KINDS - 1), st.integers(0, 10_000)), max_size=200))
def test_blind_steps_stay_blind_whatever_happens(kit: Kit, sequence: list[tuple[int, int]]) -> None:
    hands = hands_on(kit, order_of("-3.75/-1.75x25", "-5.25/-2.25x155"))
    for kind, number in sequence:
        act(hands, kind, number)
        if is_blind(hands.bench):
            alike(hands.bench)
