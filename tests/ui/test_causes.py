"""A picture for every cause a check can find, each its own by shape; and none for a code nobody knows."""

from itertools import combinations

import pytest

from assistant.optics.eye import Eye
from assistant.optics.faults import CauseCode
from assistant.ui.canvas import draw
from assistant.ui.glyphs import Glyphs
from assistant.ui.pictures import scene
from assistant.ui.pictures.causes import cause_sign, fault_sign
from assistant.ui.shapes import Scene
from assistant.workflow.checking import PAIR_CODES
from assistant.workflow.pictures import EyeResult, VerdictPicture


def drawn(shown: Scene, glyphs: Glyphs) -> str:
    return "\n".join("".join(cell.char for cell in row) for row in draw(shown, 78, 16, glyphs))


@pytest.mark.parametrize("glyphs", list(Glyphs))
def test_every_cause_and_fault_has_its_own_shape(glyphs: Glyphs) -> None:
    shapes = {code.value: cause_sign(code.value, Eye.RIGHT) for code in CauseCode}
    shapes |= {code: fault_sign(code) for code in PAIR_CODES}
    seen = {code: drawn(Scene(sign, 30.0, 30.0), glyphs) for code, sign in shapes.items()}
    for one, other in combinations(seen, 2):
        assert seen[one] != seen[other], (one, other)


@pytest.mark.parametrize("glyphs", list(Glyphs))
def test_the_verdict_tells_causes_apart_without_colour(glyphs: Glyphs) -> None:
    seen = set()
    for code in CauseCode:
        result = EyeResult(Eye.LEFT, False, 5.0, 3.0, 0.0, 0.12, code.value, "set_aside")
        seen.add(drawn(scene(VerdictPicture(False, None, result)), glyphs))
    for fault in PAIR_CODES:
        seen.add(drawn(scene(VerdictPicture(False, None, None, faults=(fault,))), glyphs))
    assert len(seen) == len(CauseCode) + len(PAIR_CODES)


@pytest.mark.parametrize("code", ["slot_on_centre_line", "cut_for_other_eye"])
def test_a_cause_of_one_side_is_mirrored_for_the_other_eye(code: str) -> None:
    sides = {drawn(Scene(cause_sign(code, eye), 30.0, 30.0), Glyphs.SIXTEEN) for eye in Eye}
    assert len(sides) == 2


def test_a_code_without_a_picture_is_named() -> None:
    with pytest.raises(ValueError, match="no picture for the cause 'melted'"):
        cause_sign("melted", Eye.LEFT)
    with pytest.raises(ValueError, match="no picture for the fault 'melted'"):
        fault_sign("melted")
