"""A rescued lens is cut again on a simulated bench and has to come out at its axis."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.kit.profile import Kit
from assistant.optics.diagnosis import Cause
from assistant.optics.eye import Eye
from assistant.optics.faults import CauseCode, Marking
from assistant.optics.power import OpticsError, Power, axis_difference_deg, from_matrix, parse_power
from assistant.optics.rescue import Edge, RescueKind, Worn, axes_left, new_slot, rescue, wrap_turn_deg
from assistant.workflow.lens_check import edge_of, marking_of

BOTH_KITS = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
EYES = st.sampled_from(list(Eye))
AXES = st.floats(0.5, 180.0)
EDGE = Edge(radius_mm=20.0, slot_width_mm=1.1, spacing_mm=3.0)
MARKING = Marking(5.739170477266787, index_on_centre_line=False, step_deg=1.0)


def cause(code: CauseCode, misfit: float = 0.5) -> Cause:
    return Cause(code, None, 0.5, "ask", "ask", misfit)


def worn(eye: Eye, read: str) -> Worn:
    return Worn(eye, parse_power(read), MARKING, EDGE)


def turned(power: Power, deg: float) -> Power:
    """The lens turned as its power matrix is: R F R^T."""
    t = math.radians(deg)
    r = np.array([[math.cos(t), -math.sin(t)], [math.sin(t), math.cos(t)]])
    return from_matrix(r @ power.matrix @ r.T)


@given(eye=EYES, ordered=AXES, measured=AXES)
@BOTH_KITS
def test_the_second_slot_puts_the_axis_right(kit: Kit, eye: Eye, ordered: float, measured: float) -> None:
    """The new slot is cut `turn` round from the pin; turning it back to the pin turns the lens by -turn."""
    want, read = Power(-1.0, -2.0, ordered), Power(-1.0, -2.0, measured)
    lens = Worn(eye, read, marking_of(kit), edge_of(kit))
    found = rescue(cause(CauseCode.SLOT_ON_CENTRE_LINE), want, lens)
    assert found.kind is RescueKind.SECOND_SLOT
    assert found.turn_from_old_slot_deg is not None
    assert -180.0 < found.turn_from_old_slot_deg <= 180.0
    axis = turned(read, -found.turn_from_old_slot_deg).axis
    assert axis is not None
    assert axis_difference_deg(axis, ordered) == pytest.approx(0.0, abs=1e-6)


@given(eye=EYES, ordered=AXES, measured=AXES)
@BOTH_KITS
def test_the_setting_and_the_turn_are_the_same_slot(
    kit: Kit, eye: Eye, ordered: float, measured: float
) -> None:
    """Marked afresh at the setting, one end of the tick's diameter is `turn` from the old slot."""
    lens = Worn(eye, Power(-1.0, -2.0, measured), marking_of(kit), edge_of(kit))
    found = rescue(cause(CauseCode.CUT_FOR_OTHER_EYE), Power(-1.0, -2.0, ordered), lens)
    assert found.scale_setting_deg is not None
    assert found.turn_from_old_slot_deg is not None
    level = 0.0 if eye is Eye.RIGHT else 180.0
    index = level if kit.protractor.nasal_index == "on_centre_line" else kit.pin_bearing_deg(eye)
    old_from_line = kit.pin_bearing_deg(eye) - measured
    new_from_line = index - found.scale_setting_deg
    off = axis_difference_deg(old_from_line + found.turn_from_old_slot_deg, new_from_line)
    assert abs(off) <= kit.protractor.step_deg / 2.0 + 1e-6


@given(ordered=AXES, measured=AXES)
def test_the_better_end_is_taken(ordered: float, measured: float) -> None:
    """With one old slot the better end is never nearer than a quarter of the edge."""
    found = new_slot(ordered, measured, EDGE)
    assert abs(found.turn_deg) >= 90.0 - 1e-9
    assert found.clears
    assert found.gap_mm == pytest.approx(math.radians(abs(found.turn_deg)) * 20.0 - 1.1)


def test_the_turn_of_the_worked_case() -> None:
    """Ordered 30, reads 24: six degrees clockwise would overlap, so the other end: 174 (worked by hand)."""
    assert new_slot(30.0, 24.0, EDGE).turn_deg == pytest.approx(174.0)
    assert new_slot(24.0, 30.0, EDGE).turn_deg == pytest.approx(-174.0)
    assert new_slot(175.0, 5.0, EDGE).turn_deg == pytest.approx(-170.0)
    assert abs(new_slot(30.0, 120.0, EDGE).turn_deg) == pytest.approx(90.0)


def test_further_old_slots_are_kept_clear_of() -> None:
    """Old slots at 0 and 170: the end at 174 lies 4 from one of them, the end at -6 lies 6 from the other."""
    found = new_slot(30.0, 24.0, EDGE, other_slots_deg=(170.0,))
    assert found.turn_deg == pytest.approx(-6.0)
    assert not found.clears
    assert found.gap_mm == pytest.approx(math.radians(6.0) * 20.0 - 1.1)


def test_a_gap_exactly_as_wanted_clears() -> None:
    """4.1 mm of arc less a slot 1.1 mm wide leaves exactly 3 mm."""
    turn = math.degrees(4.1 / 20.0)
    assert EDGE.clears(EDGE.gap_mm(turn))
    assert not EDGE.clears(EDGE.gap_mm(turn - 0.001))


def test_a_lens_with_slots_at_both_ends_is_set_aside_and_said_what_for() -> None:
    read, slots = parse_power("-1.00/-2.00x24"), (0.0, 180.0)
    found = rescue(
        cause(CauseCode.SLOT_ON_CENTRE_LINE),
        parse_power("-1.00/-2.00x30"),
        Worn(Eye.RIGHT, read, MARKING, EDGE, slots),
    )
    assert found.kind is RescueKind.SET_ASIDE
    assert found.turn_from_old_slot_deg is None
    assert "orders of -1.00/-2.00 at these axes" in found.reason
    assert found.reason.count("-") > 4


@given(eye=EYES, slots=st.lists(st.floats(0.0, 359.9), min_size=1, max_size=4))
def test_axes_left_are_those_that_a_new_slot_can_give(eye: Eye, slots: list[float]) -> None:
    """Each axis is tried by cutting: the new slot in the lens is at pin - A, or half a turn further."""
    left = axes_left(eye, 5.0, slots, EDGE)
    pin = 355.0 if eye is Eye.RIGHT else 185.0
    blocked = math.degrees((1.1 + 3.0) / 20.0)
    for axis in range(1, 181, 7):
        away = [
            [abs((pin - axis + end - slot + 180.0) % 360.0 - 180.0) for slot in slots] for end in (0, 180)
        ]
        free = any(min(end) > blocked + 1e-6 for end in away)
        reused = any(min(end) < 0.5 - 1e-6 for end in away)
        if free or reused:
            assert axis in left
        elif all(0.5 + 1e-6 < min(end) < blocked - 1e-6 for end in away):
            assert axis not in left


def test_one_slot_leaves_every_axis() -> None:
    for eye in Eye:
        assert axes_left(eye, 5.0, (77.0,), EDGE) == tuple(range(1, 181))


@pytest.mark.parametrize(
    ("code", "misfit", "kind"),
    [
        (CauseCode.SLOT_ON_CENTRE_LINE, 0.5, RescueKind.SECOND_SLOT),
        (CauseCode.CUT_FOR_OTHER_EYE, 0.5, RescueKind.SECOND_SLOT),
        (CauseCode.LENSES_SWAPPED, 0.5, RescueKind.SWAP_LENSES),
        (CauseCode.FACE_DOWN, 0.5, RescueKind.TURN_OVER),
        (CauseCode.PLUS_AXIS_DOTTED, 0.5, RescueKind.SECOND_SLOT),
        (CauseCode.SCALE_MISREAD_TEN, 0.5, RescueKind.SECOND_SLOT),
        (CauseCode.DIGITS_CONFUSED, 0.5, RescueKind.SECOND_SLOT),
        (CauseCode.DIGITS_SWAPPED, 0.5, RescueKind.SECOND_SLOT),
        (CauseCode.SPHERE_SIGN, 0.5, RescueKind.SET_ASIDE),
        (CauseCode.NEIGHBOUR_POCKET, 0.5, RescueKind.SET_ASIDE),
        (CauseCode.TURNED_IN_RIM, 0.5, RescueKind.SEAT_AGAIN),
        (CauseCode.UNKNOWN, 0.5, RescueKind.SEAT_AGAIN),
        (CauseCode.UNKNOWN, math.inf, RescueKind.SEAT_AGAIN),
    ],
)
def test_each_cause_has_its_way_out(code: CauseCode, misfit: float, kind: RescueKind) -> None:
    ordered, lens = (
        parse_power("-1.00/-2.00x30"),
        worn(Eye.LEFT, "-1.00/-2.00x70"),
    )
    found = rescue(cause(code, misfit), ordered, lens)
    assert found.kind is kind
    assert found.reason
    assert (found.turn_from_old_slot_deg is None) == (kind is not RescueKind.SECOND_SLOT)
    assert (found.scale_setting_deg is None) == (kind is not RescueKind.SECOND_SLOT)


def test_a_lens_that_nothing_explains_is_read_again_before_it_is_set_aside() -> None:
    found = rescue(
        cause(CauseCode.UNKNOWN, math.inf), parse_power("-1.00/-2.00x30"), worn(Eye.LEFT, "+6.00/-2.00x70")
    )
    assert found.otherwise is not None
    assert found.otherwise.kind is RescueKind.SET_ASIDE
    assert "misread" in found.reason


def test_plus_axis_dots_are_made_again_first() -> None:
    ordered, lens = (
        parse_power("-1.00/-2.00x30"),
        worn(Eye.LEFT, "-1.00/-2.00x120"),
    )
    assert rescue(cause(CauseCode.PLUS_AXIS_DOTTED), ordered, lens).dot_again
    assert not rescue(cause(CauseCode.DIGITS_SWAPPED), ordered, lens).dot_again


def test_a_lens_that_is_face_down_already_right_side_out_gets_a_second_slot() -> None:
    ordered, lens = (
        parse_power("-1.00/-2.00x30"),
        worn(Eye.RIGHT, "-1.00/-2.00x138"),
    )
    found = rescue(cause(CauseCode.FACE_DOWN), ordered, lens)
    assert found.otherwise is not None
    assert found.otherwise.kind is RescueKind.SECOND_SLOT
    assert found.otherwise.turn_from_old_slot_deg == pytest.approx(108.0)


def test_a_lens_without_cylinder_has_no_axis_to_rescue() -> None:
    lens = worn(Eye.RIGHT, "-1.50")
    found = rescue(cause(CauseCode.NEIGHBOUR_POCKET), parse_power("-1.00"), lens)
    assert found.kind is RescueKind.SET_ASIDE
    assert "any order of -1.50" in found.reason


def test_an_impossible_edge_is_refused() -> None:
    with pytest.raises(OpticsError, match="narrower than the radius"):
        Worn(Eye.RIGHT, parse_power("-1.00"), MARKING, Edge(20.0, 25.0, 1.0))


@given(turn=st.floats(-1000.0, 1000.0))
def test_a_wrapped_turn_is_the_same_turn(turn: float) -> None:
    wrapped = wrap_turn_deg(turn)
    assert -180.0 < wrapped <= 180.0
    assert math.cos(math.radians(wrapped - turn)) == pytest.approx(1.0)
