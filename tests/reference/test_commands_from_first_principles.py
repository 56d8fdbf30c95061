"""`assistant plan` and `assistant check` against a second computation, written from the formulas alone.

Nothing of the optics core is used here: powers are 2x2 matrices with eigenvalues, the bank is searched whole,
mistakes are rotations and a mirror. Tolerances: ANSI Z80.1:2015 seen in its quick reference
(docslib.org/download/92180); ISO 21987 from memory, to be checked against the bought standard.
"""

import csv
import json
import math
import random
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import numpy.typing as npt
import pytest

from assistant.cli import main

ROOT: Final = Path(__file__).parents[2]
KITS: Final = (ROOT / "assistant/kit/demo", ROOT / "tests/kits/forty")
EYES: Final = ("right", "left")
ISO_POWER: Final = (
    (3.0, 0.12, (0.09, 0.12)),
    (6.0, 0.12, (0.12, 0.12)),
    (9.0, 0.12, (0.12, 0.18)),
    (12.0, 0.18, (0.12, 0.18)),
    (20.0, 0.25, (0.18, 0.25)),
)
AXIS: Final = {
    "ansi_z80_1_2015": ((0.25, 14), (0.5, 7), (0.75, 5), (1.5, 3), (99.0, 2)),
    "iso_21987_2017": ((0.25, 16), (0.5, 9), (0.75, 6), (1.5, 4), (2.5, 3), (99.0, 2)),
}
NEAR: Final = 1e-6
ROUNDING: Final = 1e-9
Matrix = npt.NDArray[np.float64]
Triple = tuple[float, float, float]


@dataclass(frozen=True)
class Case:
    """A kit as its two files have it."""

    folder: Path
    facts: dict[str, Any]
    bank: tuple[dict[str, str], ...]

    @property
    def alpha_deg(self) -> float:
        return math.degrees(math.asin(self.facts["pin"]["drop_mm"] * 2 / self.facts["lens"]["diameter_mm"]))

    @property
    def standard(self) -> str:
        return str(self.facts["kit"]["standard"])

    def setting_deg(self, eye: str, axis: float) -> float:
        if self.facts["protractor"]["nasal_index"] == "at_pin":
            return axis
        return axis + self.alpha_deg if eye == "right" else axis - self.alpha_deg


@pytest.fixture(params=KITS, ids=["demo", "forty"])
def case(request: pytest.FixtureRequest) -> Case:
    folder: Path = request.param
    with (folder / "bank.csv").open() as rows:
        bank = tuple(csv.DictReader(rows))
    return Case(folder, tomllib.loads((folder / "kit.toml").read_text()), bank)


def matrix(sphere: float, cylinder: float, axis: float) -> Matrix:
    across = np.array([-math.sin(math.radians(axis)), math.cos(math.radians(axis))])
    return np.asarray(sphere * np.eye(2) + cylinder * np.outer(across, across))


def minus_form(power: Matrix) -> Triple:
    values, directions = np.linalg.eigh(power)
    axis = math.degrees(math.atan2(directions[1, 1], directions[0, 1])) % 180
    return float(values[1]), float(values[0] - values[1]), axis


def blur(power: Matrix) -> float:
    return math.hypot(np.trace(power) / 2, (power[0, 0] - power[1, 1]) / 2, power[0, 1])


def half_turn_apart(one: float, other: float) -> float:
    return abs((one - other + 90) % 180 - 90)


def within(standard: str, needed: Triple, lens: Triple | tuple[float, float]) -> bool:
    (s, c, _), sphere, cylinder = needed, lens[0], lens[1]
    if standard.startswith("ansi"):
        power = 0.13 if abs(s) <= 6.5 else 0.02 * abs(s)
        cyl = 0.13 if abs(c) <= 2 + NEAR else 0.15 if abs(c) <= 4.5 + NEAR else 0.04 * abs(c)
        return abs(sphere - s) <= power + NEAR and abs(cylinder - c) <= cyl + NEAR
    power, cyls = next((p, cs) for top, p, cs in ISO_POWER if max(abs(s), abs(s + c)) <= top + NEAR)
    cyl = cyls[0] if abs(c) <= 0.75 + NEAR else cyls[1] if abs(c) <= 4 + NEAR else 0.25
    errors = (abs(sphere - s), abs(sphere + cylinder - s - c))
    return max(errors) <= power + NEAR and abs(cylinder - c) <= cyl + NEAR


def window_deg(standard: str, cylinder: float) -> float:
    return next(deg for top, deg in AXIS[standard] if abs(cylinder) <= top + ROUNDING)


def written(power: Triple) -> str:
    return f"{power[0]:+.2f}/{power[1]:+.2f}x{power[2]:g}"


def answer(capsys: pytest.CaptureFixture[str], case: Case, *words: str) -> tuple[int, dict[str, Any]]:
    status = main([words[0], "--kit", str(case.folder), *words[1:], "--json"])
    return status, json.loads(capsys.readouterr().out)


def any_power(chance: random.Random) -> Triple:
    step = chance.choice([0.25, 0.25, 0.25, 0.01])
    sphere = round(chance.uniform(-9, 6) / step) * step
    cylinder = round(chance.uniform(0.25, 2.75) / step) * step
    axis = chance.choice([90, 180, chance.randint(1, 179)])
    plus = chance.random() < 0.3
    return (sphere - cylinder, cylinder, axis) if plus else (sphere, -cylinder, axis)


def compare_eye(case: Case, eye: str, told: dict[str, Any], needed: Triple) -> None:
    sphere, cylinder, axis = needed
    assert told["needed"]["sphere"] == pytest.approx(sphere, abs=NEAR)
    assert told["needed"]["cylinder"] == pytest.approx(cylinder, abs=NEAR)
    assert half_turn_apart(told["needed"]["axis"], axis) < NEAR
    bearing = 360 - case.alpha_deg if eye == "right" else 180 + case.alpha_deg
    assert told["slot_bearing_deg"] == pytest.approx(bearing, abs=NEAR)
    lens = told["lens"]
    if lens is not None and lens["cylinder"] == 0:
        assert told["scale_setting_deg"] is told["axis_window_deg"] is None
        return
    assert 1 <= told["scale_setting_deg"] <= 180
    step = case.facts["protractor"]["step_deg"]
    assert half_turn_apart(told["scale_setting_deg"], case.setting_deg(eye, axis)) <= step / 2 + NEAR
    assert told["axis_window_deg"] == window_deg(case.standard, cylinder)


def compare_lenses(case: Case, eyes: dict[str, Any], needed: list[Triple]) -> None:
    """Every pair of the bank is tried: no cheaper one may exist in the better class."""
    sphere, cylinder, count = (
        np.array([float(row[key]) for row in case.bank]) for key in ("sphere", "cylinder", "count")
    )
    error, square, exact = [], [], []
    for s, c, axis in needed:
        error.append(s + c / 2 - sphere - cylinder / 2)
        square.append(error[-1] ** 2 + ((c - cylinder) / 2) ** 2)
        pairs = zip(sphere, cylinder, strict=True)
        exact.append(np.array([within(case.standard, (s, c, axis), pair) for pair in pairs]))
    most = case.facts["limits"]["substitute_blur_d"] ** 2 + NEAR
    usable = [(sq <= most) | ok for sq, ok in zip(square, exact, strict=True)]
    row_of = {int(row["pocket"]): i for i, row in enumerate(case.bank)}
    told = [eyes[eye]["lens"] for eye in EYES]
    assert [lens is not None for lens in told] == [bool(mask.any()) for mask in usable]
    rows = [None if lens is None else row_of[lens["pocket"]] for lens in told]
    for side, row in enumerate(rows):
        if row is None:
            assert eyes[EYES[side]]["grade"] == "none"
            continue
        shown = eyes[EYES[side]]
        assert shown["error"]["mean"] == pytest.approx(error[side][row], abs=NEAR)
        assert shown["error"]["blur"] == pytest.approx(math.sqrt(square[side][row]), abs=NEAR)
        assert shown["grade"] == ("exact" if exact[side][row] else "substitute")
    right, left = rows
    if right is None or left is None:
        return
    cost = square[0][:, None] + square[1] + (error[0][:, None] - error[1]) ** 2
    cost[~(usable[0][:, None] & usable[1])] = np.inf
    cost[np.diag_indices(len(sphere))] += np.where(count < 2, np.inf, 0.0)
    both = exact[0][:, None] & exact[1] & np.isfinite(cost)
    if both.any():
        assert both[right, left]
        cost[~both] = np.inf
    assert cost[right, left] == pytest.approx(cost.min(), abs=NEAR)


def compare_frame(
    case: Case, frame: dict[str, Any], eyes: dict[str, Any], needed: list[Triple], pupils: tuple[float, float]
) -> None:
    worn = [
        matrix(*power) if lens is None else matrix(lens["sphere"], lens["cylinder"], power[2])
        for power, lens in zip(needed, (eyes[eye]["lens"] for eye in EYES), strict=True)
    ]

    def prism(size_mm: float) -> Matrix:
        right = worn[0] @ np.array([size_mm / 2 - pupils[0], 0]) / 10
        left = worn[1] @ np.array([pupils[1] - size_mm / 2, 0]) / 10
        return np.asarray(left - right)  # p = -F r; a base to the viewer's right is in for the right eye

    found = prism(frame["centre_distance_mm"])
    assert frame["horizontal_imbalance"] == pytest.approx(abs(found[0]), abs=NEAR)
    assert frame["vertical_imbalance"] == pytest.approx(abs(found[1]), abs=NEAR)
    if abs(found[0]) > NEAR:
        assert frame["base"] == ("in" if found[0] > 0 else "out")
    for size in case.facts["frames"]:
        other = np.abs(prism(size["centre_distance_mm"]))
        assert not (other < np.abs(found) - NEAR).all(), "another size is better both ways"


def test_plans_agree(case: Case, capsys: pytest.CaptureFixture[str]) -> None:
    chance = random.Random(20)
    for _ in range(60):
        right, left = any_power(chance), any_power(chance)
        pd, vertex, near = chance.randint(54, 72), chance.choice([10, 12, 13, 15]), chance.random() < 0.3
        halves = (pd / 2 + 1, pd / 2 - 1) if chance.random() < 0.4 else (pd / 2, pd / 2)
        words = ["--right", written(right), "--left", written(left), "--pd", str(pd)]
        words += ["--right-pd", str(halves[0]), "--left-pd", str(halves[1])]
        words += ["--refraction-vertex", str(vertex), *(["--near"] if near else [])]
        status, plan = answer(capsys, case, "plan", *words)
        moved = (vertex - case.facts["kit"]["fitted_vertex_mm"]) / 1000
        ordered = [matrix(*power) for power in (right, left)]
        needed = [minus_form(power @ np.linalg.inv(np.eye(2) - moved * power)) for power in ordered]
        assert (status == 0) == (plan["verdict"] == "make") == (not plan["reasons"])
        for eye, power in zip(EYES, needed, strict=True):
            compare_eye(case, eye, plan["eyes"][eye], power)
        compare_lenses(case, plan["eyes"], needed)
        w = case.facts["limits"]["near_working_distance_mm"]
        closer = w / (w + 27) if near else 1.0
        pupils = (halves[0] * closer, halves[1] * closer)
        compare_frame(case, plan["frame"], plan["eyes"], needed, pupils)


MISTAKES: Final = (
    "none",
    "slot_on_centre_line",
    "cut_for_other_eye",
    "lenses_swapped",
    "face_down",
    "plus_axis_dotted",
    "scale_misread_ten",
    "sphere_sign",
)


def made(mistake: str, case: Case, eye: str, ordered: Triple, other: Triple) -> Triple:
    """What the finished lens reads, to the degree, after one mistake."""
    s, c, a = ordered
    turned = -case.alpha_deg if eye == "right" else case.alpha_deg
    s, c, a = {
        "none": (s, c, a),
        "slot_on_centre_line": (s, c, a + turned),
        "cut_for_other_eye": (s, c, a + 2 * turned),
        "lenses_swapped": (other[0], other[1], other[2] + 2 * turned),
        "face_down": (s, c, 180 - a + 2 * turned),
        "plus_axis_dotted": (s, c, a + 90),
        "scale_misread_ten": (s, c, a + 10),
        "sphere_sign": (-s, c, a),
    }[mistake]
    return s, c, round(a) % 180 or 180


@pytest.mark.parametrize("mistake", MISTAKES)
def test_checks_agree(mistake: str, case: Case, capsys: pytest.CaptureFixture[str]) -> None:
    chance = random.Random(7)
    for number in range(24):
        eye = EYES[number % 2]
        ordered, other = (
            (
                chance.choice([-1, 1]) * chance.randint(2, 20) / 4,
                -chance.randint(4, 10) / 4,
                chance.randint(1, 180),
            )
            for _ in EYES
        )
        read = made(mistake, case, eye, ordered, other)
        powers = ("--ordered", written(ordered), "--measured", written(read), "--other-eye", written(other))
        status, check = answer(capsys, case, "check", "--eye", eye, *powers)
        off = (read[2] - ordered[2] + 90) % 180 - 90
        passed = within(case.standard, ordered, read) and abs(off) <= window_deg(case.standard, ordered[1])
        assert (check["pass"], status) == (passed, 0 if passed else 1)
        assert check["error"]["blur"] == pytest.approx(blur(matrix(*read) - matrix(*ordered)), abs=NEAR)
        assert half_turn_apart(check["error"]["axis"], off) < NEAR
        if passed:
            assert (check["causes"], check["rescue"]["kind"]) == ([], "none_needed")
            continue
        assert mistake in [cause["code"] for cause in check["causes"]]
        for cause in check["causes"]:
            if cause["predicted"] is not None:
                away = matrix(*cause["predicted"].values()) - matrix(*read)
                assert cause["distance"] == pytest.approx(blur(away), abs=NEAR)
        if check["rescue"]["kind"] == "second_slot" and check["causes"][0]["code"] != "face_down":
            compare_second_slot(case, eye, check["rescue"], ordered[2], read[2])


def compare_second_slot(case: Case, eye: str, rescue: dict[str, Any], wanted: float, found: float) -> None:
    """The old slot lies at the pin; turned to the wanted axis, the pin meets the lens at the new diameter."""
    turn = rescue["turn_from_old_slot_deg"]
    assert half_turn_apart(turn, found - wanted) < NEAR
    assert 90 - NEAR <= abs(turn) <= 180, "the end farther from the old slot is the better"
    assert half_turn_apart(rescue["scale_setting_deg"], case.setting_deg(eye, wanted)) <= 0.5 + NEAR
