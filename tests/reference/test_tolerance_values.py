"""The shipped tolerance tables against the values and sources they were taken from.

Written out a second time, by hand, from the list of sources; the figures are tried just inside and just
outside each limit through `judge`, so that bands, percentages and the choice of meridian are tried too.
"""

import pytest

from assistant.optics.power import Power
from assistant.optics.tolerance import STANDARDS, Judgement

STEP = 0.004
"""Smaller than any step between limits."""


def row_passes(judgement: Judgement, kind: str) -> bool:
    return next(row.passed for row in judgement.rows if row.kind == kind)


def assert_power_limit(standard: str, sphere: float, limit: float) -> None:
    ordered = Power(sphere)
    for sign in (-1, 1):
        inside, outside = (Power(sphere + sign * (limit + slack)) for slack in (-STEP, STEP))
        assert row_passes(STANDARDS[standard].judge(ordered, inside), "power")
        assert not row_passes(STANDARDS[standard].judge(ordered, outside), "power")


def assert_cylinder_limit(standard: str, sphere: float, cylinder: float, limit: float) -> None:
    ordered = Power(sphere, cylinder, 90)
    for sign in (-1, 1):
        inside, outside = (Power(sphere, cylinder + sign * (limit + slack), 90) for slack in (-STEP, STEP))
        assert row_passes(STANDARDS[standard].judge(ordered, inside), "cylinder")
        assert not row_passes(STANDARDS[standard].judge(ordered, outside), "cylinder")


# ANSI Z80.1-2015 quick reference, docslib.org/download/92180; student summary,
# opticianstudy.com/ansi-standards-optical-abo; both seen, agreeing.
@pytest.mark.parametrize("sign", [-1, 1])
@pytest.mark.parametrize(
    ("sphere", "limit"), [(0.25, 0.13), (6.50, 0.13), (6.51, 0.1302), (10.0, 0.20), (14.0, 0.28)]
)
def test_ansi_sphere(sphere: float, limit: float, sign: int) -> None:
    assert_power_limit("ansi_z80_1_2015", sign * sphere, limit)


def test_ansi_2015_judges_the_sphere_meridian() -> None:
    # Seen: wording of 2015, sphere meridian in minus form; differs from the strongest meridian near 6.50.
    # -6.25/-2.00: by the sphere 0.13 D; by the strongest meridian, 8.25, it would be 2 %, 0.165 D.
    standard = STANDARDS["ansi_z80_1_2015"]
    assert not row_passes(standard.judge(Power(-6.25, -2, 90), Power(-6.40, -1.85, 90)), "power")
    assert row_passes(standard.judge(Power(-6.25, -2, 90), Power(-6.378, -1.872, 90)), "power")
    # -7.00/-2.00: 2 % of the sphere is 0.14 D, of the strongest meridian it would be 0.18 D
    assert not row_passes(standard.judge(Power(-7, -2, 90), Power(-7.15, -1.85, 90)), "power")


@pytest.mark.parametrize(
    ("cylinder", "limit"),
    [(-0.25, 0.13), (-2.00, 0.13), (-2.25, 0.15), (-4.50, 0.15), (-5.00, 0.20), (-6.00, 0.24)],
)
def test_ansi_cylinder(cylinder: float, limit: float) -> None:
    assert_cylinder_limit("ansi_z80_1_2015", -1.0, cylinder, limit)


@pytest.mark.parametrize(
    ("cylinder", "limit"),
    [
        (-0.11, None),
        (-0.12, 14),
        (-0.25, 14),
        (-0.37, 7),
        (-0.50, 7),
        (-0.75, 5),
        (-1.00, 3),
        (-1.50, 3),
        (-1.75, 2),
        (-4.00, 2),
    ],
)
def test_ansi_axis(cylinder: float, limit: float | None) -> None:
    # first row: PubMed 16814238 and trade white paper scribd 40096878 (seen)
    assert STANDARDS["ansi_z80_1_2015"].axis_tolerance_deg(cylinder) == limit


@pytest.mark.parametrize(
    ("power_d", "horizontal", "vertical"),
    [(1.0, 0.67, 0.33), (2.75, 0.67, 0.33), (3.00, 0.75, 0.33), (3.375, 0.84375, 0.33), (6.0, 1.50, 0.60)],
)
def test_ansi_imbalance(power_d: float, horizontal: float, vertical: float) -> None:
    # 0.67 in all to 2.75 D, then the effect of 2.5 mm; 0.33 to 3.375 D, then of 1.0 mm.
    limits = STANDARDS["ansi_z80_1_2015"].prism_limits(Power(-power_d), Power(-power_d))
    assert limits.horizontal == pytest.approx(horizontal)
    assert limits.vertical == pytest.approx(vertical)


# ISO 21987 and ISO 8980-1, single vision: from memory, about 90 % sure, to be checked against the bought
# standard. Partly seen: plano 0.12 and 0.09 (GB 10810.1, smilingsouls.net/zh/wage_264371); -10.00 DS 0.18,
# cylinder 0.12 (max.book118.com/html/2014/0413/7624052).
ISO_POWER = [
    (3.00, 0.12, (0.09, 0.12, 0.18, 0.25)),
    (6.00, 0.12, (0.12, 0.12, 0.18, 0.25)),
    (9.00, 0.12, (0.12, 0.18, 0.18, 0.25)),
    (12.00, 0.18, (0.12, 0.18, 0.25, 0.25)),
    (20.00, 0.25, (0.18, 0.25, 0.25, 0.25)),
    (24.00, 0.37, (0.25, 0.25, 0.37, 0.37)),
]
ISO_CYLINDERS = (-0.75, -4.00, -6.00, -6.25)


@pytest.mark.parametrize("standard", ["iso_21987_2017", "iso_8980_1_2017"])
@pytest.mark.parametrize(("band_end", "power_limit", "cylinder_limits"), ISO_POWER)
def test_iso_power_and_cylinder(
    standard: str, band_end: float, power_limit: float, cylinder_limits: tuple[float, ...]
) -> None:
    assert_power_limit(standard, -band_end, power_limit)
    assert_power_limit(standard, band_end, power_limit)
    for cylinder, limit in zip(ISO_CYLINDERS, cylinder_limits, strict=True):
        if -cylinder <= 2 * band_end:
            # the strongest principal meridian is the band's end exactly
            assert_cylinder_limit(standard, -band_end - cylinder, cylinder, limit)
            assert_cylinder_limit(standard, band_end, cylinder, limit)


def test_iso_values_seen_elsewhere() -> None:
    assert_power_limit("iso_21987_2017", 0.0, 0.12)
    assert_power_limit("iso_21987_2017", -10.0, 0.18)
    iso = STANDARDS["iso_21987_2017"]
    assert row_passes(iso.judge(Power(0), Power(0.0, -0.09, 10)), "cylinder")
    assert not row_passes(iso.judge(Power(0), Power(0.0, -0.10, 10)), "cylinder")
    assert row_passes(iso.judge(Power(-10), Power(-10, -0.12, 10)), "cylinder")
    assert not row_passes(iso.judge(Power(-10), Power(-10, -0.13, 10)), "cylinder")
    # Chinese mounted standard GB 13511-1999 at zpz.cn/blog/?p=7779 (seen): 1.00 axis 4, 2.50 axis 3
    assert iso.axis_tolerance_deg(-1.00) == 4
    assert iso.axis_tolerance_deg(-2.50) == 3


# From memory: mounted about 75 % sure (a summary of GB 13511 at 360docs.net c16578661 differs), uncut 85 %.
@pytest.mark.parametrize(
    ("cylinder", "mounted", "uncut"),
    [
        (-0.25, 16, 7),
        (-0.50, 9, 7),
        (-0.75, 6, 5),
        (-1.00, 4, 3),
        (-1.50, 4, 3),
        (-1.75, 3, 2),
        (-2.50, 3, 2),
        (-2.75, 2, 2),
    ],
)
def test_iso_axis(cylinder: float, mounted: float, uncut: float) -> None:
    assert STANDARDS["iso_21987_2017"].axis_tolerance_deg(cylinder) == mounted
    assert STANDARDS["iso_8980_1_2017"].axis_tolerance_deg(cylinder) == uncut


@pytest.mark.parametrize(
    ("power_d", "horizontal", "vertical"),
    [(3.25, 0.67, 0.50), (4.00, 0.80, 0.50), (5.00, 1.00, 0.50), (8.00, 1.60, 0.80)],
)
def test_iso_imbalance(power_d: float, horizontal: float, vertical: float) -> None:
    # From memory, about 80 % sure: 0.67 to 3.25 D, then 2.0 mm; 0.50 to 5.00 D, then 1.0 mm.
    limits = STANDARDS["iso_21987_2017"].prism_limits(Power(power_d), Power(power_d))
    assert limits.horizontal == pytest.approx(horizontal)
    assert limits.vertical == pytest.approx(vertical)


def test_outreach_limits() -> None:
    # q-rec.org/phase-6-analysis-reporting (seen); Lee et al., Optom Vis Sci 2021;98:24-31.
    outreach = STANDARDS["outreach_2021"]
    assert_power_limit("outreach_2021", -3.0, 0.50)
    assert_cylinder_limit("outreach_2021", -3.0, -1.0, 0.50)
    assert [outreach.axis_tolerance_deg(c) for c in (-0.25, -0.50, -0.75, -1.50, -1.75)] == [7, 7, 5, 5, 2]
    limits = outreach.prism_limits(Power(-8), Power(-8))
    assert (limits.horizontal, limits.vertical) == (1.0, 0.5)


def test_forgetting_the_drop_fails_any_cylinder_over_a_half() -> None:
    # Common practice, no source: lens 40 mm, pin 2 mm below, so 5.74 degrees; the 5 of ANSI is broken.
    for cylinder in (-0.75, -1.00, -2.00, -4.00):
        ordered = Power(-3.0, cylinder, 30)
        judgement = STANDARDS["ansi_z80_1_2015"].judge(ordered, ordered.turned(-5.74))
        assert [row.kind for row in judgement.rows if not row.passed] == ["axis"]
