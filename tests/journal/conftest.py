"""A session of the invented boat clinic, as events: a day opened, an order, and the first eye under way."""

import pytest

from assistant.optics.order import EyeOrder, Order, Purpose
from assistant.optics.power import Power
from assistant.workflow.events import (
    Answered,
    AskedAgain,
    DayOpened,
    Event,
    HelpAsked,
    OrderHandedOver,
    Source,
    StockCounted,
    SupervisorAnswered,
    TakenBack,
)

_STARTED_AT = 1_764_060_000.0


@pytest.fixture(scope="session")
def session() -> tuple[Event, ...]:
    order = Order(
        right=EyeOrder(Power(-2.25, -1.5, 10.0)),
        left=EyeOrder(Power(1.0, -0.5, 170.0)),
        pd_mm=61.0,
        refraction_vertex_mm=12.0,
        purpose=Purpose.FAR,
        case="4071",
    )
    entries = [
        ("helper", "picture", "3"),
        ("language", "language", "4"),
        ("zero", "sphere", "0"),
        ("reference", "sphere", "-2.00"),
        ("order", "choice", "1"),
        ("plan", "done", ""),
        ("fetch", "check_number", "57"),
        ("read", "sphere", "-2.25"),
        ("read", "cylinder", "-1.50"),
        ("dot", "done", ""),
        ("mark", "scale", "10"),
        ("cut", "depth", "1.3"),
    ]
    events: list[Event] = [
        DayOpened(at=_STARTED_AT, date="2025-11-25"),
        OrderHandedOver(at=_STARTED_AT + 1.5, order=order),
    ]
    for number, (step, field, text) in enumerate(entries):
        events.append(Answered(at=_STARTED_AT + 10.25 * (number + 1), step=step, field=field, text=text))
    events += [
        TakenBack(at=_STARTED_AT + 140.0),
        AskedAgain(at=_STARTED_AT + 141.0),
        Answered(
            at=_STARTED_AT + 150.0,
            step="cut",
            field="depth",
            text="1.2",
            source=Source.VOICE,
            heard="moja nukta mbili \u2014 \u00e9",
            clip="0017.flac",
        ),
        HelpAsked(at=_STARTED_AT + 160.0),
        SupervisorAnswered(at=_STARTED_AT + 170.0, yes=True, code="2468", reason="line\nbreak"),
        StockCounted(at=_STARTED_AT + 180.0, pocket=412, count=3),
    ]
    return tuple(events)
