"""Both lenses turned over at once; found by the virtual bench."""

from hands import Hands, figure

from assistant.optics.eye import Eye
from assistant.optics.power import wrap_axis


def face_down(hands: Hands, eye: Eye) -> str:
    """What the lens reads with its hollow side out."""
    target = hands.bench.the_pair.plan.eye(eye).target
    assert target is not None
    assert target.axis is not None
    turn = -2.0 * eye.nasal_sign * hands.bench.kit.pin_depression_deg
    return figure(round(wrap_axis((180.0 - target.axis + turn) % 180.0)))


def test_each_lens_is_looked_at_and_put_right(hands: Hands) -> None:
    hands.until("check")
    hands.wrong = {("check", eye.value, "axis"): [face_down(hands, eye)] for eye in Eye}
    hands.wrong[("side", "right", "outward")] = ["-"]
    hands.wrong[("side", "left", "outward")] = ["+"]
    hands.until("side")
    assert hands.bench.current == ("side", Eye.RIGHT)
    hands.step()
    hands.until("side")
    assert hands.bench.current == ("side", Eye.LEFT)
    hands.step()
    assert hands.bench.current == ("mark", Eye.LEFT)
    hands.until("hand_over")
