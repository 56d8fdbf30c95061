"""Events that no careful helper sends: any text, at any step, in any order, for what must hold whatever comes."""

from collections.abc import Callable
from typing import Final

from hands import Hands, order_of

from assistant.workflow.events import (
    Answered,
    AskedAgain,
    BankShared,
    DayOpened,
    Event,
    HelpAsked,
    OrderHandedOver,
    StockCounted,
    SupervisorAnswered,
    TakenBack,
    VoiceTried,
)
from assistant.workflow.fields import listen_for

TEXTS: Final = (
    "",
    "0",
    "1",
    "2",
    "9",
    "+",
    "-",
    ".",
    "-2",
    "+1.25",
    "180",
    "175.5",
    "0.9",
    "62",
    "99",
    "1e9",
    "abc",
    "-.5",
)
RIGHT: Final = 11
"""So many kinds of `act` are the right answer, that a session gets anywhere."""


def act(hands: Hands, kind: int, number: int) -> None:
    """Kinds below `RIGHT`: the right answer, if one is wanted. Others: anything else, told apart by `number`."""
    if kind < RIGHT:
        if listen_for(hands.bench) is not None:
            hands.step()
        return
    hands.send(_ODD[kind - RIGHT](hands, hands.tick(), number))


def _answered(hands: Hands, at: float, number: int) -> Event:
    """Any text to what is asked for; now and then by a clock that was set back."""
    wanted, text = listen_for(hands.bench), TEXTS[number % len(TEXTS)]
    early = 0.0 if number % 3 else 9000.0
    return Answered(
        at=at - early, step=hands.bench.current.step, field=wanted.field if wanted else "done", text=text
    )


def _supervised(hands: Hands, at: float, number: int) -> Event:
    code = hands.bench.kit.supervisor_codes[0] if number % 3 else "000"
    return SupervisorAnswered(at=at, yes=number % 2 == 0, code=code)


def _handed_over(hands: Hands, at: float, number: int) -> Event:
    order = order_of("-2.00/-1.00x30", None if number % 2 else "+1.00", case=str(number % 7))
    return OrderHandedOver(at=at, order=order)


def _pocket(number: int) -> int:
    return number % 400 - 5


def _counted(hands: Hands, at: float, number: int) -> Event:
    """Any pocket, or one that the pair in the making is planned from."""
    plan = None if hands.bench.pair is None else hands.bench.pair.plan
    planned = (
        [] if plan is None else [eye.lens.pocket for eye in (plan.right, plan.left) if eye.lens is not None]
    )
    pocket = planned[number % len(planned)] if planned and number % 3 else _pocket(number)
    return StockCounted(at=at, pocket=pocket, count=number % 5 - 1)


BROUGHT: Final[tuple[dict[str, str], ...]] = ({}, {"tq": "sw"}, {"tq": "fr", "aa": "pt"}, {"en": "qq"})
_ODD: Final[tuple[Callable[[Hands, float, int], Event], ...]] = (
    _answered,
    _answered,
    _answered,
    lambda _, at, number: Answered(at=at, step="cut", field="depth", text=TEXTS[number % len(TEXTS)]),
    lambda _, at, __: TakenBack(at=at),
    lambda _, at, number: HelpAsked(at=at) if number % 2 else AskedAgain(at=at),
    _supervised,
    _counted,
    lambda _, at, number: BankShared(at=at, elsewhere={_pocket(number): 1}),
    _handed_over,
    lambda _, at, number: (
        DayOpened(at=at, date="2026-11-03", brought=BROUGHT[number // 4 % len(BROUGHT)])
        if number % 4 == 0
        else VoiceTried(at=at, numbers=("12", "34", "56", "78"))
    ),
)
KINDS: Final = RIGHT + len(_ODD)
