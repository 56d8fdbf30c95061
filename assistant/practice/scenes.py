"""Sessions of the invented boat clinic, each made for one thing that a trainer wants to show.

Benches are named by animals; cases are numbers; nobody in them is real.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from random import Random
from typing import Final

from assistant.kit.profile import Kit
from assistant.language.lexicon import LANGUAGES
from assistant.optics.eye import Eye
from assistant.optics.order import EyeOrder, Order
from assistant.optics.power import parse_power
from assistant.practice.helper import VirtualHelper
from assistant.practice.people import person
from assistant.practice.run import Turns, opened
from assistant.practice.slips import CAREFUL, LEARNER, Rates, Slip
from assistant.workflow.events import (
    AskedAgain,
    HelpAsked,
    OrderHandedOver,
    SupervisorAnswered,
    TakenBack,
)

DATE: Final = "2026-11-02"
MORNING: Final = datetime(2026, 11, 2, 8, 0, tzinfo=UTC).timestamp()
CLIPS_APART: Final = 1000
"""The sessions share one folder of clips: each numbers its own from here on."""


@dataclass(frozen=True, slots=True)
class Scene:
    """One session: a file's name, what it shows, and how to make it with a kit."""

    name: str
    shows: str
    bench: str
    make: Callable[[Kit], Turns]


def scenes() -> tuple[Scene, ...]:
    """Every demonstration session, in the order of the list in `demo_sessions/README.md`."""
    return (
        Scene("01-smooth-pair", "a pair made without a mistake", "heron", _planted(None)),
        Scene(
            "02-wrong-pocket",
            "the pocket beside it opened, caught by its check number",
            "heron",
            _planted(Slip.WRONG_POCKET),
        ),
        Scene(
            "03-slot-on-centre-line",
            "a slot cut as if the pin stood on the centre line, named, and a second slot cut",
            "crab",
            _planted(Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT),
        ),
        Scene(
            "04-fifteen-for-fifty",
            "a spoken fifteen taken for fifty, refused and said again",
            "turtle",
            _misheard,
        ),
        Scene(
            "05-pin-too-short",
            "a pin trimmed too short to hold, and a new one",
            "crab",
            _planted(Slip.PIN_SHORT, Eye.RIGHT),
        ),
        Scene(
            "06-lenses-swapped",
            "the two lenses exchanged between the eyes, named, and put right",
            "turtle",
            _planted(Slip.LENSES_SWAPPED),
        ),
        Scene(
            "07-substitute-granted",
            "a lens near enough, asked for and granted from the board",
            "heron",
            _granted,
        ),
        Scene(
            "08-power-cut",
            "the power gone in the middle of a pair, and the pair gone on with",
            "crab",
            _cut_off,
        ),
        Scene(
            "09-board-out-of-reach",
            "a question no board answers, and the supervisor at the bench",
            "turtle",
            _alone,
        ),
        Scene(
            "10-marked-face-down",
            "a lens marked with its hollow side up, named and cut again",
            "heron",
            _planted(Slip.MARKED_FACE_DOWN, Eye.RIGHT),
        ),
        Scene(
            "11-lens-in-the-wrong-pocket",
            "a stray lens found by reading it",
            "turtle",
            _planted(Slip.STRAY_LENS),
        ),
        Scene(
            "12-taken-back",
            "a slip of the finger taken back before anything was cut",
            "heron",
            _slip_of_a_finger,
        ),
        Scene("13-learner-s-morning", "six pairs of a helper who is learning", "crab", _morning),
        Scene("14-said-in-swahili", "a pair made by voice alone, in Swahili", "turtle", _said),
        Scene(
            "15-turned-in-rim",
            "a lens beside its pin, found by reading it, and seated again",
            "heron",
            _planted(Slip.TURNED_IN_RIM, Eye.RIGHT),
        ),
        Scene(
            "16-sent-back",
            "an order that no lens in the case can serve, and the next one made",
            "crab",
            _sent_back,
        ),
        Scene(
            "17-chipped",
            "a lens chipped in the rim, and another one made",
            "turtle",
            _planted(Slip.CHIPPED, Eye.LEFT),
        ),
    )


def _begun(
    kit: Kit,
    seed: int,
    rates: Rates = CAREFUL,
    *,
    plant: Slip | None = None,
    eye: Eye | None = None,
    talks: str = "",
) -> Turns:
    """The day opened; `talks`: entries are said from here on, in this language."""
    language = LANGUAGES.index(talks) if talks else seed % len(LANGUAGES)
    helper = VirtualHelper(
        kit, seed, rates, plant=plant, plant_eye=eye, sign=seed % 6 + 1, language=language + 1
    )
    turns = opened(kit, helper, seed, MORNING + 1800.0 * seed, DATE)
    turns.talks, turns.clips_from = talks, CLIPS_APART * seed
    return turns


def order_of(right: str, left: str, case: str, pd_mm: float = 62.0) -> Order:
    return Order(EyeOrder(parse_power(right)), EyeOrder(parse_power(left)), pd_mm=pd_mm, case=case)


def _planted(slip: Slip | None, eye: Eye | None = None) -> Callable[[Kit], Turns]:
    """A careful pair with at most one mistake, on cylinders strong enough to show it."""
    seed = 1 if slip is None else list(Slip).index(slip) + 2

    def make(kit: Kit) -> Turns:
        turns = _begun(kit, seed, plant=slip, eye=eye)
        turns.make(order_of("-2.25/-1.50x30", "-1.75/-2.00x155", f"{200 + seed}"))
        return turns

    return make


def _misheard(kit: Kit) -> Turns:
    """All is said in English. The ear takes fifteen for fifty; the scale wants what it asked for, and the
    helper says it again, digit by digit."""
    turns = _begun(kit, 30, talks="en")
    # the axis that makes the setting of this kit fifteen
    axis = 15.0 - kit.pin_depression_deg if kit.protractor.nasal_index == "on_centre_line" else 15.0
    turns.send(
        OrderHandedOver(at=turns.at, order=order_of(f"-2.00/-1.75x{axis:.0f}", "-2.50/-1.00x170", "230"))
    )
    turns.until_step("mark")
    turns.misheard("fifteen", "50", "fifty")
    return _finished(turns)


def _granted(kit: Kit) -> Turns:
    turns = _begun(kit, 31)
    turns.send(OrderHandedOver(at=turns.at, order=_substituted(kit)))
    turns.until(lambda bench: bench.question is not None)
    turns.send(
        SupervisorAnswered(at=turns.at + 45.0, yes=True, code=kit.supervisor_codes[0], reason="near enough")
    )
    turns.at += 45.0
    return _finished(turns)


def _substituted(kit: Kit) -> Order:
    """A cylinder the bank has not, near one that it has: the strongest and a quarter more."""
    strongest = kit.limits.strongest_cylinder_d
    return order_of(f"-1.00/{strongest - 0.25:.2f}x90", "-1.00/-0.50x90", "231")


def _cut_off(kit: Kit) -> Turns:
    """Eleven minutes without power; the helper has the step said again and goes on."""
    turns = _begun(kit, 32)
    turns.send(OrderHandedOver(at=turns.at, order=order_of("+1.50/-1.25x80", "+1.25/-1.00x95", "232")))
    turns.until(lambda bench: bench.current == ("cut", Eye.LEFT))
    turns.at += 660.0
    turns.send(AskedAgain(at=turns.at))
    return _finished(turns)


def _alone(kit: Kit) -> Turns:
    """Nobody answers the board for a quarter of an hour; the supervisor comes and keys the code."""
    turns = _begun(kit, 33)
    turns.send(OrderHandedOver(at=turns.at, order=order_of("-3.00/-1.50x60", "+0.75/-1.50x60", "233")))
    turns.until(lambda bench: bench.question is not None)
    turns.send(HelpAsked(at=turns.tick()))
    turns.at += 900.0
    return _finished(turns)


def _slip_of_a_finger(kit: Kit) -> Turns:
    turns = _begun(kit, 34)
    turns.send(OrderHandedOver(at=turns.at, order=order_of("-0.75/-0.75x10", "-1.00/-0.50x175", "234")))
    turns.until_step("read")
    turns.key("+7.50")
    turns.send(TakenBack(at=turns.tick()))
    return _finished(turns)


def _morning(kit: Kit) -> Turns:
    turns = _begun(kit, 35, LEARNER)
    chance = Random(35)
    for case in range(6):
        turns.make(person(kit, chance, f"{240 + case}"))
    return turns


def _said(kit: Kit) -> Turns:
    turns = _begun(kit, 36, talks="sw")
    turns.make(order_of("-1.25/-0.75x85", "-1.50/-1.00x100", "236"))
    return turns


def _sent_back(kit: Kit) -> Turns:
    """A sphere two dioptres beyond the strongest of the bank; the next order is made."""
    turns = _begun(kit, 37)
    turns.make(order_of(f"{kit.limits.sphere_range_d[0] - 2.0:.2f}", "-2.00", "237"))
    turns.make(order_of("+0.75/-0.50x90", "+1.00/-0.50x85", "238"))
    return turns


def _finished(turns: Turns) -> Turns:
    turns.until(lambda bench: bench.pair is None and bool(bench.closed))
    return turns
