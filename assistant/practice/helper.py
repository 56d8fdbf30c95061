"""A helper made of numbers: sees only the effects of the bench, handles only the things on it.

`VirtualHelper.answer(effects)` does with the virtual lens what the picture asks, slips where the seed (or the
trainer) wants it, and returns what the hands would key. It never sees the plan or an expected figure.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from random import Random

import numpy as np

from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.optics.order import Order
from assistant.practice.bench import BenchThings, Errors, Reading
from assistant.practice.cutting import Cutting
from assistant.practice.fetching import Fetching
from assistant.practice.hands import Hands, Happened
from assistant.practice.lens import ground, rotation
from assistant.practice.paper import keyed_from_paper
from assistant.practice.slips import Rates, Slip
from assistant.workflow import pictures as p
from assistant.workflow.effects import Effect, Listen, Show
from assistant.workflow.plan import Verdict


@dataclass(frozen=True, slots=True)
class Supervisor:
    """Comes when called. `refuses` names questions that get a no; who is stuck twice is told to stop."""

    code: str
    refuses: frozenset[str] = frozenset()


class VirtualHelper:
    """One helper at one bench for as long as the bench is open."""

    def __init__(
        self,
        kit: Kit,
        seed: int,
        rates: Rates,
        *,
        plant: Slip | None = None,
        plant_eye: Eye | None = None,
        errors: Errors = Errors(),  # noqa: B008 - frozen
        paper: Order | None = None,
        refuses: frozenset[str] = frozenset(),
        sign: int = 1,
        language: int = 1,
    ) -> None:
        chance = Random(seed)
        self.things = BenchThings(kit, chance, errors)
        self.hands = Hands(chance, rates, plant, plant_eye)
        self.kit, self.paper = kit, paper
        self.sign, self.language = sign, language
        self.supervisor = Supervisor(kit.supervisor_codes[0], refuses)
        self._cutting = Cutting(self.things, self.hands)
        self._fetching = Fetching(self.things, self.hands)
        self._stuck = 0
        self._frame_asked: float | None = None
        self._reading = Reading(0.0, 0.0, None)

    @property
    def happened(self) -> tuple[Happened, ...]:
        """Every slip so far, in order."""
        return tuple(self.hands.happened)

    def answer(self, effects: Iterable[Effect]) -> str:
        """What the hands key next. Raises `ValueError` if nothing is listened for."""
        picture: p.Picture | None = None
        listen: Listen | None = None
        for effect in effects:
            match effect:
                case Show(shown):
                    picture = shown
                case Listen():
                    listen = effect
        if listen is None or picture is None:
            raise ValueError("the bench listens for nothing: there is nothing to answer")
        return _ANSWERS[listen.step](self, picture, listen.field)

    # start of the day

    def _voice(self, picture: p.Picture, field: str) -> str:
        """What is to be said aloud; nothing in a room that is too loud."""
        assert isinstance(picture, p.VoicePicture)
        return picture.number or ""

    def _zero(self, picture: p.Picture, field: str) -> str:
        return signed(self.things.focimeter.reads(np.zeros((2, 2))).sphere)

    def _reference(self, picture: p.Picture, field: str) -> str:
        known = self.kit.focimeter.reference
        lens = ground(known.sphere, known.cylinder, 0)
        return self._keyed(self.things.focimeter.reads(lens.seen(rotation(known.axis or 0.0))), field)

    def _index(self, picture: p.Picture, field: str) -> str:
        return whole_axis(180.0 + self.things.protractor.off_deg)

    # the pair

    def _order(self, picture: p.Picture, field: str) -> str:
        self.things.rims, self.things.in_hand = {}, {}
        self._frame_asked, self._stuck = None, 0
        return "1" if isinstance(picture, p.OrderPicture) and picture.waiting else "0"

    def _key_order(self, picture: p.Picture, field: str) -> str:
        if self.paper is None:
            raise ValueError("the helper has no order on paper to key in")
        return keyed_from_paper(self.paper, field, self.kit)

    def _plan(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.PlanPicture)
        if picture.verdict is Verdict.RETURN and self._frame_asked is None:
            self.hands.chance.random()  # drawn as for a frame that is taken: recorded sessions go on as they were
        if picture.frame_mm is not None and picture.frame_mm != self._frame_asked:
            self._frame_asked = picture.frame_mm
            others = [
                f.centre_distance_mm for f in self.kit.frames if f.centre_distance_mm != picture.frame_mm
            ]
            slipped = bool(others) and self.hands.slips(Slip.WRONG_FRAME)
            self.things.take_frame(self.hands.chance.choice(others) if slipped else picture.frame_mm)
        return ""

    def _fetch(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.TrayPicture)
        return self._fetching.answer(picture)

    def _read(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.FocimeterPicture)
        if field == "sphere":
            lens = self.things.in_hand[picture.eye]
            if picture.eye in self._fetching.reads_label:
                self._fetching.reads_label.remove(picture.eye)
                # the label, as this focimeter would show it
                lens = ground(*self._fetching.label(lens.pocket), lens.pocket)
            self._reading = self.hands.read(self.things.focimeter, lens.power, picture.eye)
        return self._keyed(self._reading, field)

    def _verdict(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.VerdictPicture)
        eyes = [eye for eye in (picture.right, picture.left) if eye is not None]
        if all(eye.passed for eye in eyes):
            self._frame_put_right(picture)
        self._cutting.swap_back = any(eye.rescue == "swap_lenses" for eye in eyes)
        return ""

    def _frame_put_right(self, picture: p.VerdictPicture) -> None:
        """Another frame of the size asked for, or the same one bent straight; a lens at fault comes first."""
        if not picture.centres_passed and self._frame_asked is not None:
            self.things.take_frame(self._frame_asked)
        if not picture.height_passed:
            self.things.height_mm = 0.0

    def _check(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.FocimeterPicture)
        if field == "sphere":
            self._reading = self.hands.read(self.things.focimeter, self.things.worn(picture.eye), picture.eye)
        return self._keyed(self._reading, field)

    def _side(self, picture: p.Picture, field: str) -> str:
        """Whether the lens in its rim has its curved side outwards: seen so, it is turned, not mirrored."""
        assert isinstance(picture, p.SidePicture)
        return "+" if np.linalg.det(self.things.rims[picture.eye].pose) > 0.0 else "-"

    def _distance(self, picture: p.Picture, field: str) -> str:
        if field == "centres" and self.hands.slips(Slip.FRAME_BENT):
            self.things.height_mm = self.kit.limits.height_tolerance_mm + 0.5
        true_mm = self.things.centres_mm if field == "centres" else self.things.height_mm
        if self.hands.slips(Slip.RULE_MISREAD):
            true_mm += self.kit.limits.centre_distance_tolerance_mm + 1.0
        return plain(round(true_mm * 2.0) / 2.0)

    def _account(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.AccountPicture)
        lens = self.things.in_hand.get(picture.eye)
        return "-" if lens is not None and lens.chipped else "+"

    def _supervised(self, picture: p.Picture, field: str) -> str:
        assert isinstance(picture, p.SupervisorPicture)
        if field == "code":
            return self.supervisor.code
        if picture.question == "stuck":
            self._stuck += 1
        no = picture.question in self.supervisor.refuses or self._stuck > 1
        return "-" if no else "+"

    def _by_cutting(self, picture: p.Picture, field: str) -> str:
        return self._cutting.answer(picture, field)

    @staticmethod
    def _keyed(reading: Reading, field: str) -> str:
        match field:
            case "sphere":
                return signed(reading.sphere)
            case "cylinder":
                return signed(reading.cylinder)
            case _:
                return whole_axis(reading.axis or 180.0)


def signed(value: float) -> str:
    """A power as it is keyed: sign and two places, three where the focimeter has them."""
    written = f"{value:+.3f}"
    return written[:-1] if written.endswith("0") else written


def plain(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def whole_axis(axis_deg: float) -> str:
    """1 to 180."""
    return str(round(axis_deg) % 180 or 180)


def _says(text: str) -> Callable[[VirtualHelper, p.Picture, str], str]:
    return lambda _helper, _picture, _field: text


_ANSWERS: Mapping[str, Callable[[VirtualHelper, p.Picture, str], str]] = {
    "helper": lambda helper, _picture, _field: str(helper.sign),
    "language": lambda helper, _picture, _field: str(helper.language),
    "sound": _says("+"),
    "voice": VirtualHelper._voice,
    "zero": VirtualHelper._zero,
    "reference": VirtualHelper._reference,
    "index": VirtualHelper._index,
    "cutter": _says("+"),
    "order": VirtualHelper._order,
    "key_order": VirtualHelper._key_order,
    "plan": VirtualHelper._plan,
    "fetch": VirtualHelper._fetch,
    "read": VirtualHelper._read,
    **dict.fromkeys(("dot", "mark", "cut", "trim", "fit"), VirtualHelper._by_cutting),
    "side": VirtualHelper._side,
    "check": VirtualHelper._check,
    "distance": VirtualHelper._distance,
    "verdict": VirtualHelper._verdict,
    "wearer": lambda _helper, _picture, field: "+" if field == "comfortable" else "6",
    "hand_over": _says(""),
    "account": VirtualHelper._account,
    "supervisor": VirtualHelper._supervised,
}
