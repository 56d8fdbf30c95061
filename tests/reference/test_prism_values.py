"""Prism with the full matrix (Long 1976; Keating, from memory, sure), and the eyes together."""

import pytest

from assistant.optics.eye import Eye
from assistant.optics.power import parse_power
from assistant.optics.prism import base_names, imbalance, prism

PRENTICE = [
    ("-8.00", Eye.RIGHT, (-3, 0), "2.400 BO", "0"),
    ("+6.00", Eye.LEFT, (-2, -1), "1.200 BO", "0.600 BU"),
    ("+3.00/-1.50x30", Eye.RIGHT, (4, -5), "0.725 BO", "0.678 BU"),
    ("-5.00/-2.00x45", Eye.LEFT, (3, -2), "2.000 BO", "1.500 BD"),
    ("+4.00/-2.00x180", Eye.RIGHT, (2, -8), "0.800 BO", "1.600 BU"),
    ("-2.00/-4.00x60", Eye.RIGHT, (0, -10), "1.732 BI", "3.000 BD"),
    ("0/-3.00x45", Eye.RIGHT, (5, 0), "0.750 BI", "0.750 BD"),
]
"""Computed for this project; rows 3, 4 and 6 also ray-traced then. Pupil from the optical centre, mm."""


@pytest.mark.parametrize(("written", "eye", "pupil_mm", "horizontal", "vertical"), PRENTICE)
def test_prentice_with_the_matrix(
    written: str, eye: Eye, pupil_mm: tuple[float, float], horizontal: str, vertical: str
) -> None:
    assert base_names(eye, prism(parse_power(written), pupil_mm)) == (horizontal, vertical)


def test_minus_lenses_with_centres_closer_than_the_pupils_are_base_out() -> None:
    # opticaltraining.com (seen)
    lens = parse_power("-4.00")
    assert imbalance(lens, lens, (-2.0, 0.0), (2.0, 0.0)).base == "out"


@pytest.mark.parametrize(
    ("right", "left", "vertical"),
    [
        ("+4.50/+0.50x180", "+2.00/+0.25x90", 3.00),  # published flashcards (seen)
        ("-5.00", "-2.00", 3.00),  # computed for this project
    ],
)
def test_vertical_imbalance_at_the_reading_level(right: str, left: str, vertical: float) -> None:
    found = imbalance(parse_power(right), parse_power(left), (0.0, -10.0), (0.0, -10.0))
    assert found.vertical == pytest.approx(vertical)
    assert found.base is None


@pytest.mark.parametrize(("centres_mm", "base"), [(60.0, "out"), (64.0, None), (68.0, "in")])
def test_three_frame_sizes(centres_mm: float, base: str | None) -> None:
    # Frames of 60, 64 and 68 mm: common practice, no source. Prism by hand: 4 D x 4 mm is 1.6.
    out = (64.0 - centres_mm) / 2.0
    lens = parse_power("-4.00")
    found = imbalance(lens, lens, (-out, 0.0), (out, 0.0))
    assert found.base == base
    assert found.horizontal == pytest.approx(4.0 * abs(64.0 - centres_mm) / 10.0)
