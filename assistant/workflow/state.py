"""The bench as it stands: day, stock, orders, and the pair in the making. Frozen values, nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import NamedTuple

from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.language.lexicon import LANGUAGES
from assistant.optics.eye import Eye
from assistant.optics.faults import Off
from assistant.optics.order import Order
from assistant.optics.power import Power
from assistant.optics.rescue import Rescue, RescueKind
from assistant.workflow.checking import PairCheck
from assistant.workflow.events import Room
from assistant.workflow.plan import Plan

Value = float | str | bool
"""An entry once read: a number, kept text (check numbers, codes, case numbers), or yes/no."""


class Item(NamedTuple):
    """One thing to do: a step, and the eye it is done for."""

    step: str
    eye: Eye | None = None


Agenda = tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Offsets:
    """Instrument errors found at the start of day; they are taken off every reading."""

    sphere_d: float = 0.0
    axis_deg: float = 0.0
    """Focimeter: reading minus truth."""
    scale_deg: float = 0.0
    """Protractor: reading minus truth."""

    @property
    def of_marking(self) -> Off:
        """Those of the instruments that a lens is marked on."""
        return Off(self.axis_deg, self.scale_deg)


@dataclass(frozen=True, slots=True)
class Day:
    date: str
    agenda: Agenda
    helper: int | None = None
    language: str = "en"
    """What the bench speaks and shows."""
    own: str = ""
    """What the helper speaks, where it is a language brought to this bench; empty: the same."""
    brought: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """As in `DayOpened`."""
    sound: bool = False
    room: Room | None = None
    """How well one can listen; None: not measured."""
    numbers: tuple[str, ...] = ()
    """What the helper was asked to say, to find out whether the helper is understood."""
    voice: bool | None = None
    """Whether the helper is understood; no: the keypad comes first. None: it was not tried."""
    offsets: Offsets = Offsets()

    @property
    def languages(self) -> tuple[str, ...]:
        """Codes of the languages that may be chosen, in the order of their numbers."""
        return (*LANGUAGES, *self.brought)

    @property
    def heard(self) -> str:
        """The language that is listened for."""
        return self.own or self.language


@dataclass(frozen=True, slots=True)
class EyeWork:
    """What was done so far for one eye. Bearings of slots are measured from the minus axis's dotted line."""

    fetched: bool = False
    wrong_readings: int = 0
    slots_deg: tuple[float, ...] = ()
    depth_mm: float | None = None
    pin_mm: float | None = None
    tried: tuple[RescueKind, ...] = ()
    """Rescues already tried on this lens."""
    reading: Power | None = None
    """The finished lens in its rim, offsets taken off."""
    way: Rescue | None = None
    """The way back that waits for the side of the lens to be looked at."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something only the supervisor may decide."""

    code: str
    """plan, help, wearer, stuck."""
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Pair:
    order: Order
    plan: Plan
    agenda: Agenda
    right: EyeWork = EyeWork()
    left: EyeWork = EyeWork()
    centres_mm: float | None = None
    height_mm: float | None = None
    check: PairCheck | None = None
    rescues: int = 0
    outcome: str = "handed_over"
    """How the pair will be closed: handed_over, returned or abandoned."""
    started_at: float = 0.0

    def work(self, eye: Eye) -> EyeWork:
        return self.right if eye is Eye.RIGHT else self.left

    def with_fresh_work(self, eye: Eye) -> "Pair":
        """Another lens for this eye: nothing has been done to it yet."""
        return replace(self, right=EyeWork()) if eye is Eye.RIGHT else replace(self, left=EyeWork())

    def with_work(self, eye: Eye, **changes: object) -> "Pair":
        changed = replace(self.work(eye), **changes)  # type: ignore[arg-type]
        return replace(self, right=changed) if eye is Eye.RIGHT else replace(self, left=changed)

    @property
    def given_up(self) -> bool:
        """What is left is to say what became of its lenses."""
        return self.outcome != "handed_over"

    @property
    def eyes(self) -> tuple[Eye, ...]:
        """The eyes a lens is made for, right first."""
        return tuple(eye for eye in Eye if self.plan.eye(eye).lens is not None)


@dataclass(frozen=True, slots=True)
class Closed:
    """A pair that is finished with: handed over, returned to the clinician, or given up."""

    date: str
    """The day that was open."""
    case: str
    outcome: str
    started_at: float
    ended_at: float
    centre_distance_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why the last entry was not accepted: a code of the prompts `refused-<code>`, with its figures."""

    code: str
    args: Mapping[str, float | str] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Bench:
    kit: Kit
    stock: Stock
    day: Day | None = None
    orders: tuple[Order, ...] = ()
    """Every order handed over, in order of arrival."""
    queue: tuple[Order, ...] = ()
    """Orders waiting, oldest first. Kept, not worked out from `orders`: a record may hold the orders of many days."""
    closed: tuple[Closed, ...] = ()
    pair: Pair | None = None
    keying: bool = False
    """An order is being keyed in."""
    entries: tuple[tuple[str, Value], ...] = ()
    """Entries of the current step so far, by field name."""
    question: Question | None = None
    refusal: Refusal | None = None
    refusals: int = 0
    """Refused entries in a row at this step."""
    flagged: frozenset[int] = frozenset()
    """Pockets whose contents were found wrong; not planned from until counted."""
    elsewhere: Mapping[int, int] = field(default_factory=lambda: MappingProxyType({}))
    """Of the shared bank: pocket to lenses that other benches hold, as last known."""
    step_at: float = 0.0
    leaving: bool = False
    """The supervisor let the helper leave the program."""
    before: "Bench | None" = None
    """The bench before the last entry, while that entry may be taken back."""

    @property
    def current(self) -> Item:
        """What the helper is asked to do now."""
        if self.question is not None:
            return Item("supervisor")
        if self.day is None:
            return Item("closed")
        if self.day.agenda:
            return self.day.agenda[0]
        if self.pair is not None:
            return self.pair.agenda[0]
        return Item("key_order" if self.keying else "order")

    @property
    def offsets(self) -> Offsets:
        return self.day.offsets if self.day is not None else Offsets()

    def entry(self, name: str) -> Value | None:
        return dict(self.entries).get(name)

    @property
    def the_day(self) -> Day:
        if self.day is None:
            raise ValueError("the day has not been opened")
        return self.day

    @property
    def the_pair(self) -> Pair:
        if self.pair is None:
            raise ValueError("no pair is in the making")
        return self.pair

    @property
    def the_eye(self) -> Eye:
        eye = self.current.eye
        if eye is None:
            raise ValueError(f"step {self.current.step} is not done for one eye")
        return eye

    def number(self, name: str) -> float:
        """An entry of this step as a number; fields that were skipped are 0."""
        return float(self.entry(name) or 0.0)

    def popped(self) -> "Bench":
        """The current item is done: the next one begins with no entries."""
        if self.day is not None and self.day.agenda:
            return replace(self, day=replace(self.day, agenda=self.day.agenda[1:]), entries=(), refusals=0)
        if self.pair is None:
            raise ValueError(f"step {self.current.step} is not on an agenda")
        return replace(self, pair=replace(self.pair, agenda=self.pair.agenda[1:]), entries=(), refusals=0)


@dataclass(frozen=True, slots=True)
class Refused:
    """The result of a check that sends the helper back to the start of the step (or to another one)."""

    refusal: Refusal
    bench: Bench


def refused(bench: Bench, code: str, **args: float | str) -> Refused:
    """Refuse the entries of this step: they are cleared, the reason is kept for the screen."""
    return Refused(Refusal(code, MappingProxyType(dict(args))), replace(bench, entries=()))
