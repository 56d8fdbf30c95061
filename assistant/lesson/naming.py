"""Which mistake was it? A few pictures to choose from, the true one among them, and a key for none."""

from dataclasses import dataclass, replace
from random import Random
from typing import Final

from assistant.lesson.parts import sign_of
from assistant.optics.eye import Eye
from assistant.practice.rehearsal import AT_STEP, NONE, PLANTED, name_of
from assistant.ui.pictures.parts import Shapes, glasses, yes_sign
from assistant.ui.shapes import Ink, Numeral, Point, Scene, Shape, line, moved
from assistant.workflow.effects import Listen
from assistant.workflow.steps import FieldKind

STEP: Final = "practice"
OFFERED: Final = 6
WIDE, TALL = 272.0, 98.0
"""World units; the whole width of a bench's picture."""
_COLUMNS: Final = 3
_APART: Final = (78.0, 48.0)
_ALIKE: Final = (
    frozenset({"check_number_wrong", "wrong_lens", "neighbour_pocket"}),
    frozenset({"scale_wrong", "scale_misread_ten"}),
)
"""Mistakes whose names are not offered beside each other: either would be a fair answer."""


@dataclass(frozen=True, slots=True)
class Naming:
    """One question. `raised`: the helper raised a hand, the tool has said nothing yet."""

    offered: tuple[str, ...]
    eye: Eye
    raised: bool
    crossed: tuple[str, ...] = ()
    """Chosen before, and wrong."""

    @property
    def listen(self) -> Listen:
        return Listen(STEP, "cause", FieldKind.DIGIT, 0, len(self.offered))

    def chosen(self, number: int) -> str:
        """The code under a key; 0 is none."""
        return NONE if number == 0 else self.offered[number - 1]

    def without(self, code: str) -> "Naming":
        return replace(self, crossed=(*self.crossed, code))

    @property
    def scene(self) -> Scene:
        """Two rows of pictures, each with its key; the key for none below them."""
        shapes: list[Shape] = []
        for place, code in enumerate(self.offered):
            row, column = divmod(place, _COLUMNS)
            x, y = (column - 1.28) * _APART[0], 25.0 - row * _APART[1]
            shapes += self._offer(place + 1, code, x, y)
        return Scene((*shapes, *self._none()), WIDE, TALL)

    def _offer(self, number: int, code: str, x: float, y: float) -> Shapes:
        crossed = code in self.crossed
        sign = moved(sign_of(code, self.eye), (x + 12.0, y), 1.6)
        figure = Numeral(x - 24.0, y, str(number), 18.0, Ink.DIM if crossed else Ink.LIT)
        return (*sign, figure, *(_struck(x + 12.0, y) if crossed else ()))

    def _none(self) -> Shapes:
        """Nothing went wrong: an empty frame beside the nought."""
        crossed = NONE in self.crossed
        figure = Numeral(92.0, -23.0, "0", 18.0, Ink.DIM if crossed else Ink.LIT)
        return (figure, *nothing((116.0, -23.0)), *(_struck(116.0, -23.0) if crossed else ()))

    @property
    def text(self) -> str:
        numbered = enumerate((NONE, *self.offered))
        return "  ".join(f"{number} {code}" for number, code in numbered if code not in self.crossed)


def nothing(centre: Point) -> Shapes:
    """Nothing went wrong: whole spectacles, and the sign for right."""
    x, y = centre
    return (*glasses((x, y + 10.0), 0.28), *yes_sign((x, y - 10.0), 0.6))


def _struck(x: float, y: float) -> Shapes:
    return (
        line((x - 15.0, y - 15.0), (x + 15.0, y + 15.0), Ink.WRONG, 2.0),
        line((x - 15.0, y + 15.0), (x + 15.0, y - 15.0), Ink.WRONG, 2.0),
    )


def naming(truth: str, eye: Eye | None, seed: int, raised: bool) -> Naming:
    """`truth` (where there is one) among others drawn from `seed`, always in the same order of names."""
    names = tuple(dict.fromkeys(name_of(slip) for slip in PLANTED))
    alike = next((group for group in _ALIKE if truth in group), frozenset())
    others = [name for name in names if name != truth and name not in alike]
    kept = () if truth == NONE else (truth,)
    drawn = {*kept, *Random(seed).sample(others, OFFERED - len(kept))}
    return Naming(tuple(name for name in names if name in drawn), eye or Eye.RIGHT, raised)


def prompt_of(code: str) -> str:
    """The id of the sentence that says a mistake."""
    if code == NONE:
        return "practice-none"
    return f"refused-{code}" if code in AT_STEP.values() else f"cause-{code}"
