"""The steps of the job as one table: what each asks for, what comes next, what may be taken back.

Day steps run once at the start of a day. Pair steps run once per pair, eye steps once per eye (right then
left). Every step shows the picture and says the prompt of its own id: picture `<id>`, prompt `step-<id>`;
each field says `field-<name>`. `check.py` holds what is checked when a step's fields are all in.
"""

from dataclasses import dataclass
from enum import StrEnum


class FieldKind(StrEnum):
    """What the keypad or the ear listens for."""

    DONE = "done"
    """Enter alone: the hand work is finished."""
    YES_NO = "yes_no"
    """`+` or `-` on the keypad; yes or no by voice."""
    DIGIT = "digit"
    CHECK_NUMBER = "check_number"
    """Two digits, kept as text."""
    SAID = "said"
    """Two digits that are shown, said aloud: to be understood or not."""
    DIGITS = "digits"
    """A case number or a supervisor's code, kept as text."""
    POWER = "power"
    """Signed dioptres in the focimeter's step."""
    CYLINDER = "cylinder"
    AXIS = "axis"
    LENGTH = "length"
    """Millimetres."""
    ACUITY = "acuity"
    """The lower number of a six-metre chart line: 6/x."""


class Scope(StrEnum):
    DAY = "day"
    PAIR = "pair"
    EYE = "eye"


@dataclass(frozen=True, slots=True)
class Field:
    name: str
    kind: FieldKind


@dataclass(frozen=True, slots=True)
class Step:
    id: str
    scope: Scope
    fields: tuple[Field, ...]
    blind: bool = False
    """The expected figure is in no effect before the reading is in."""


VOICE = "voice"
"""The step that finds out whether the helper is understood. Only where there is sound: see `VoiceTried`."""
SAID_FIELDS = ("first", "second", "third", "fourth")
"""Its fields."""
_DONE = (Field("done", FieldKind.DONE),)
_LENS = (Field("sphere", FieldKind.POWER), Field("cylinder", FieldKind.CYLINDER))
_READING = (*_LENS, Field("axis", FieldKind.AXIS))


def _ordered_eye(eye: str) -> tuple[Field, ...]:
    return (
        Field(f"{eye}_kind", FieldKind.DIGIT),
        Field(f"{eye}_sphere", FieldKind.POWER),
        Field(f"{eye}_cylinder", FieldKind.CYLINDER),
        Field(f"{eye}_axis", FieldKind.AXIS),
    )


STEPS: tuple[Step, ...] = (
    # start of day
    Step("helper", Scope.DAY, (Field("picture", FieldKind.DIGIT),)),
    Step("language", Scope.DAY, (Field("language", FieldKind.DIGIT),)),
    Step("sound", Scope.DAY, (Field("heard", FieldKind.YES_NO),)),
    Step(VOICE, Scope.DAY, tuple(Field(name, FieldKind.SAID) for name in SAID_FIELDS)),
    Step("zero", Scope.DAY, (Field("sphere", FieldKind.POWER),), blind=True),
    Step("reference", Scope.DAY, _READING, blind=True),
    Step("index", Scope.DAY, (Field("axis", FieldKind.AXIS),), blind=True),
    Step("cutter", Scope.DAY, (Field("ready", FieldKind.YES_NO),)),
    # one pair
    Step("order", Scope.PAIR, (Field("choice", FieldKind.DIGIT),)),
    Step(
        "key_order",
        Scope.PAIR,
        (
            Field("case", FieldKind.DIGITS),
            Field("purpose", FieldKind.DIGIT),
            *_ordered_eye("right"),
            *_ordered_eye("left"),
            Field("pd", FieldKind.LENGTH),
            Field("vertex", FieldKind.LENGTH),
            Field("read_back", FieldKind.YES_NO),
        ),
    ),
    Step("plan", Scope.PAIR, _DONE),
    Step("fetch", Scope.EYE, (Field("check_number", FieldKind.CHECK_NUMBER),)),
    Step("read", Scope.EYE, _LENS, blind=True),
    Step("dot", Scope.EYE, _DONE),
    Step("mark", Scope.EYE, (Field("scale", FieldKind.AXIS),)),
    Step("cut", Scope.EYE, (Field("depth", FieldKind.LENGTH),)),
    Step("trim", Scope.EYE, (Field("pin", FieldKind.LENGTH),)),
    Step("fit", Scope.EYE, (Field("whole", FieldKind.YES_NO),)),
    Step("side", Scope.EYE, (Field("outward", FieldKind.YES_NO),)),
    Step("check", Scope.EYE, _READING, blind=True),
    Step(
        "distance",
        Scope.PAIR,
        (Field("centres", FieldKind.LENGTH), Field("height", FieldKind.LENGTH)),
        blind=True,
    ),
    Step("verdict", Scope.PAIR, _DONE),
    Step("wearer", Scope.PAIR, (Field("comfortable", FieldKind.YES_NO), Field("acuity", FieldKind.ACUITY))),
    Step("hand_over", Scope.PAIR, _DONE),
    # a pair given up: what became of a lens that had left its pocket
    Step("account", Scope.EYE, (Field("whole", FieldKind.YES_NO),)),
    # the supervisor at the bench: lies over any step
    Step("supervisor", Scope.PAIR, (Field("code", FieldKind.DIGITS), Field("decision", FieldKind.YES_NO))),
)

BY_ID = {step.id: step for step in STEPS}
DAY = tuple(step.id for step in STEPS if step.scope is Scope.DAY and step.id != VOICE)
MAKING = ("fetch", "read", "dot", "mark", "cut", "trim", "fit")
"""All of these for the right eye, then all for the left; then the pair is checked."""
FINISHING = ("distance", "verdict", "wearer", "hand_over")
