"""A careful helper for tests: knows the plan and answers every step rightly, unless told otherwise."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from assistant.kit.profile import Kit
from assistant.kit.stock import Stock
from assistant.optics.order import EyeKind, EyeOrder, Order
from assistant.optics.power import Power, parse_power
from assistant.workflow.advance import advance
from assistant.workflow.effects import Effect, Listen
from assistant.workflow.events import Answered, DayOpened, Event, OrderHandedOver
from assistant.workflow.fields import listen_for
from assistant.workflow.making import setting_shown
from assistant.workflow.show import number_to_say
from assistant.workflow.state import Bench

Answer = Callable[["Hands"], str]


def figure(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def signed(value: float) -> str:
    return f"{value:+.2f}"


def order_of(right: str | None, left: str | None, pd: float = 62.0, case: str = "101") -> Order:
    eyes = [EyeOrder(parse_power(p)) if p else EyeOrder(None, EyeKind.NONE) for p in (right, left)]
    return Order(eyes[0], eyes[1], pd_mm=pd, case=case)


@dataclass
class Hands:
    """Feeds events to the fold and keeps every effect; `wrong`: slips by (step, eye, field), each once."""

    bench: Bench
    at: float = 1_000_000.0
    effects: list[tuple[Effect, ...]] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    wrong: dict[tuple[str, str, str], list[str]] = field(default_factory=dict)

    def send(self, event: Event) -> tuple[Effect, ...]:
        self.events.append(event)
        self.bench, effects = advance(self.bench, event)
        self.effects.append(effects)
        return effects

    def tick(self) -> float:
        self.at += 7.0
        return self.at

    def key(self, text: str) -> tuple[Effect, ...]:
        """Answer whatever is listened for."""
        item = self.bench.current
        listening = self.listening()
        return self.send(Answered(at=self.tick(), step=item.step, field=listening.field, text=text))

    def listening(self) -> Listen:
        listening = listen_for(self.bench)
        assert listening is not None
        return listening

    def step(self) -> None:
        """One right (or planted wrong) entry."""
        item, name = self.bench.current, self.listening().field
        planted = self.wrong.get((item.step, item.eye.value if item.eye else "", name))
        self.key(planted.pop(0) if planted else self.right_answer(item.step, name))

    def until(self, *steps: str) -> None:
        for _ in range(400):
            if self.bench.current.step in steps:
                return
            self.step()
        raise AssertionError(f"never reached {steps}; stands at {self.bench.current}")

    def right_answer(self, step: str, name: str) -> str:
        kit, pair, eye = self.bench.kit, self.bench.pair, self.bench.current.eye
        plan = pair.plan.eye(eye) if pair is not None and eye is not None else None
        power: Power | None = kit.focimeter.reference if step == "reference" else None
        if plan is not None and plan.lens is not None:
            power = plan.target if step == "check" else Power(plan.lens.sphere, plan.lens.cylinder, 180.0)
        match name:
            case "sphere" if step == "zero":
                return "0"
            case "axis" if step == "index":
                return "180"
            case "sphere" | "cylinder" | "axis":
                assert power is not None
                return _read_off(power, name)
            case "first" | "second" | "third" | "fourth":
                return number_to_say(self.bench) or ""
            case "check_number":
                assert plan is not None
                assert plan.lens is not None
                return plan.lens.check_number
            case "scale":
                assert eye is not None
                return figure(setting_shown(self.bench, eye) or 0.0)
            case "depth":
                return figure(kit.slot.aimed_depth_mm)
            case "pin":
                assert pair is not None
                assert eye is not None
                return figure((pair.work(eye).depth_mm or 0.0) - kit.pin.clearance_mm)
            case "centres":
                assert pair is not None
                assert pair.plan.frame is not None
                return figure(pair.plan.frame.centre_distance_mm)
            case _:
                return _PLAIN[name]


def _read_off(power: Power, name: str) -> str:
    if name == "axis":  # asked of a lens without one too, where a cylinder was keyed by mistake
        return figure(power.axis or 180.0)
    return signed(power.sphere if name == "sphere" else power.cylinder)


_PLAIN: Mapping[str, str] = {
    "picture": "1",
    "language": "1",
    "heard": "+",
    "ready": "+",
    "choice": "1",
    "done": "",
    "whole": "+",
    "outward": "+",
    "height": "0",
    "comfortable": "+",
    "acuity": "6",
    "code": "4071",
    "decision": "+",
    "case": "301",
    "purpose": "1",
    "right_kind": "1",
    "right_sphere": "-2",
    "right_cylinder": "-1",
    "right_axis": "30",
    "left_kind": "1",
    "left_sphere": "-1.5",
    "left_cylinder": "0",
    "pd": "62",
    "vertex": "12",
    "read_back": "+",
}


def hands_on(kit: Kit, order: Order | None = None) -> Hands:
    """A bench on an open day with one order waiting."""
    made = Hands(Bench(kit, Stock.packed(kit.bank)))
    made.send(DayOpened(at=made.tick(), date="2026-11-02"))
    waiting = order or order_of("-2.00/-1.00x30", "-1.50/-0.50x165")
    made.send(OrderHandedOver(at=made.tick(), order=waiting))
    return made
