"""Dots, tick, slot, pin and rim: the handwork between a read lens and a finished one, slips included."""

from dataclasses import replace

from assistant.kit.profile import NasalIndex
from assistant.optics.eye import Eye
from assistant.practice.bench import BenchThings
from assistant.practice.hands import Hands
from assistant.practice.lens import (
    ALONG_180,
    FACE_UP,
    TURNED_OVER,
    Matrix,
    Vector,
    angle_of,
    pose_bringing,
    rotation,
    towards,
)
from assistant.practice.slips import Slip, said_alike, turned_round
from assistant.workflow import pictures as p

GAUGE_STEP_MM = 0.01
CUTTING_MM = 0.1
"""How far a slot may end from where it was aimed. Assumed."""
TRIMMING_MM = 0.08
"""How much shorter than wanted a pin is trimmed at most. Assumed."""
MISCUT_MM = 0.1
"""By how much a slip cuts or trims too little or too much."""


class Cutting:
    """Works on the lens in hand for the eye that the picture names."""

    def __init__(self, things: BenchThings, hands: Hands) -> None:
        self.things, self.hands = things, hands
        self.swap_back = False
        """The check found the two lenses exchanged: exchange them at the next fitting."""

    def answer(self, picture: p.Picture, field: str) -> str:
        match picture:
            case p.DotPicture():
                return self._dot(picture.eye)
            case (
                p.ProtractorPicture(eye=eye, setting_deg=setting)
                | p.RescuePicture(eye=eye, setting_deg=setting)
            ):
                return self._tick_anywhere(eye) if setting is None else self._mark(eye, setting)
            case p.SlotPicture():
                return self._cut(picture)
            case p.PinPicture():
                return self._trim(picture)
            case p.FitPicture():
                return self._fit(picture.eye)
            case _:
                raise ValueError(f"no handwork is known for a {type(picture).__name__}")

    def _dot(self, eye: Eye) -> str:
        """Turned until the minus axis reads 180, then dotted; the axis lies along the lens's own x."""
        lens, hands = self.things.in_hand[eye], self.hands
        cylinder = float(lens.power[1, 1] - lens.power[0, 0])
        off = hands.miss_deg() + hands.axis_miss_deg(hands.rates.eye_d, cylinder)
        if cylinder and hands.slips(Slip.PLUS_AXIS_DOTTED, eye):
            off += 90.0
        pose = rotation(off) @ pose_bringing(ALONG_180, self.things.focimeter.marked_along)
        self.things.lying[eye] = pose
        self.things.in_hand[eye] = lens.dotted(ALONG_180, pose)
        return ""

    def _tick_anywhere(self, eye: Eye) -> str:
        self.things.lying[eye] = FACE_UP
        self.things.in_hand[eye] = self.things.in_hand[eye].ticked(
            towards(self.hands.chance.uniform(0.0, 360.0)), FACE_UP
        )
        return ""

    def _mark(self, eye: Eye, setting: float) -> str:
        """Dotted line at the setting, tick at the nasal index; what is read back may not be what was set."""
        shown = round(setting)
        laid, keyed, face = float(shown), shown, FACE_UP
        index = self.things.protractor.index(eye)
        match self._marking_slip(eye, shown):
            case Slip.SLOT_ON_CENTRE_LINE if self._index_at_pin:
                index = towards(eye.nasal_bearing_deg)
            case Slip.SLOT_ON_CENTRE_LINE:
                laid += self._pin_turn_deg(eye)
            case Slip.CUT_FOR_OTHER_EYE if self._index_at_pin:
                index = self.things.protractor.index(eye.other)
            case Slip.CUT_FOR_OTHER_EYE:
                laid += 2.0 * self._pin_turn_deg(eye)
            case Slip.MARKED_FACE_DOWN:
                face = TURNED_OVER
            case Slip.SCALE_MISREAD_TEN:
                laid += self.hands.chance.choice((-10, 10))
            case Slip.DIGITS_CONFUSED:
                laid = float(self.hands.chance.choice(said_alike(shown)))
            case Slip.DIGITS_SWAPPED:
                laid = float(self.hands.chance.choice(turned_round(shown)))
            case Slip.SCALE_SET_WRONG:
                keyed = (shown + self.hands.chance.choice((-10, -5, 5, 10))) % 180 or 180
                laid = float(keyed)
            case _:
                pass
        self._ticked(eye, laid, index, face)
        return str(keyed)

    def _ticked(self, eye: Eye, laid_deg: float, index: Vector, face: Matrix) -> None:
        lens = self.things.in_hand[eye]
        if lens.dots is None:
            raise ValueError("the lens has no dots to lay on the protractor")
        line = towards(laid_deg - self.things.protractor.off_deg + self.hands.miss_deg())
        pose = pose_bringing(lens.dots, line, face)
        self.things.lying[eye] = pose
        self.things.in_hand[eye] = lens.ticked(index, pose)

    def _marking_slip(self, eye: Eye, shown: int) -> Slip | None:
        possible = [
            Slip.SLOT_ON_CENTRE_LINE,
            Slip.CUT_FOR_OTHER_EYE,
            Slip.MARKED_FACE_DOWN,
            Slip.SCALE_MISREAD_TEN,
            *([Slip.DIGITS_CONFUSED] if said_alike(shown) else []),
            *([Slip.DIGITS_SWAPPED] if turned_round(shown) else []),
            Slip.SCALE_SET_WRONG,
        ]
        return next((slip for slip in possible if self.hands.slips(slip, eye)), None)

    @property
    def _index_at_pin(self) -> bool:
        return self.things.kit.protractor.nasal_index is NasalIndex.AT_PIN

    def _pin_turn_deg(self, eye: Eye) -> float:
        """From the rim's horizontal to its pin, as the eye would turn a line that forgot the pin."""
        return (angle_of(self.things.pins[eye]) - eye.nasal_bearing_deg + 180.0) % 360.0 - 180.0

    def _cut(self, picture: p.SlotPicture) -> str:
        lens, hands, eye = self.things.in_hand[picture.eye], self.hands, picture.eye
        depth = picture.aimed_mm + hands.chance.triangular(-CUTTING_MM, CUTTING_MM)
        if hands.slips(Slip.SLOT_SHALLOW, eye):
            depth = picture.least_mm - MISCUT_MM
        elif hands.slips(Slip.SLOT_DEEP, eye):
            depth = picture.most_mm + MISCUT_MM
        depth = _gauged(depth)
        new = (
            lens.cut_deeper(depth) if lens.tick is None and lens.slots else lens.cut(depth, hands.miss_deg())
        )
        self.things.in_hand[eye] = new
        return f"{depth:.2f}"

    def _trim(self, picture: p.PinPicture) -> str:
        """A pin that is long is trimmed; one that is short already makes room for a new one."""
        rim, eye, hands = self.things.rims[picture.eye], picture.eye, self.hands
        least, wanted = picture.least_engagement_mm, picture.wanted_mm
        if rim.pin_mm < least:
            rim.pin_mm = self.things.kit.pin.length_mm
        if rim.pin_mm > wanted + GAUGE_STEP_MM / 2.0:
            rim.pin_mm = _gauged(hands.chance.uniform(max(least, wanted - TRIMMING_MM), wanted))
            if hands.slips(Slip.PIN_LONG, eye):
                rim.pin_mm = _gauged(wanted + MISCUT_MM)
            elif hands.slips(Slip.PIN_SHORT, eye):
                rim.pin_mm = _gauged(least - MISCUT_MM)
        return f"{rim.pin_mm:.2f}"

    def _fit(self, eye: Eye) -> str:
        things, hands = self.things, self.hands
        if self.swap_back:
            self.swap_back = False
            self._exchange()
        if hands.slips(Slip.CHIPPED, eye):
            things.in_hand[eye] = replace(things.in_hand[eye], chipped=True)
            return "-"
        face = TURNED_OVER if hands.slips(Slip.FITTED_FACE_DOWN, eye) else FACE_UP
        turned = hands.chance.uniform(-things.play_deg(), things.play_deg())
        if hands.slips(Slip.TURNED_IN_RIM, eye):
            turned = hands.chance.choice((-1.0, 1.0)) * hands.chance.uniform(8.0, 85.0)
        other = things.rims[eye.other]
        if other.lens is not None and eye.other in things.in_hand and hands.slips(Slip.LENSES_SWAPPED, eye):
            self._exchange()
            things.fit(eye.other, FACE_UP)
        things.fit(eye, face, turned)
        return "+"

    def _exchange(self) -> None:
        held = self.things.in_hand
        held[Eye.RIGHT], held[Eye.LEFT] = held[Eye.LEFT], held[Eye.RIGHT]


def _gauged(length_mm: float) -> float:
    return round(length_mm / GAUGE_STEP_MM) * GAUGE_STEP_MM
