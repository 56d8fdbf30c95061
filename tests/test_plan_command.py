"""`assistant plan` as a script would use it: its JSON, its exit status, one line for unusable input."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from assistant.cli import COMMANDS, main, with_negative_values

ROOT = Path(__file__).parents[1]
USUAL = ("--right", "-2.25/-1.50x10", "--left", "-1.75/-0.50x170", "--pd", "61")


def planned(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, Any]]:
    status = main(["plan", *words, "--json"])
    return status, json.loads(capsys.readouterr().out)


def test_json_has_every_key(capsys: pytest.CaptureFixture[str]) -> None:
    status, plan = planned(capsys, *USUAL)
    assert status == 0
    assert {"verdict", "reasons", "frame", "eyes"} <= set(plan)
    assert plan["verdict"] == "make"
    assert plan["reasons"] == []
    assert set(plan["frame"]) == {
        "centre_distance_mm",
        "horizontal_imbalance",
        "base",
        "vertical_imbalance",
        "within",
    }
    right = plan["eyes"]["right"]
    assert right["ordered"] == right["needed"] == {"sphere": -2.25, "cylinder": -1.5, "axis": 10.0}
    assert {"sphere", "cylinder", "pocket", "check_number"} == set(right["lens"])
    assert right["grade"] == "exact"
    assert right["error"] == {"mean": 0.0, "blur": 0.0}
    assert right["scale_setting_deg"] == 14.0
    assert right["axis_window_deg"] == 3.0
    assert right["slot_bearing_deg"] == pytest.approx(355.904, abs=1e-3)
    assert right["edge_thickness_mm"] > 1.2


def test_nulls_without_cylinder_and_without_lens(capsys: pytest.CaptureFixture[str]) -> None:
    _, plan = planned(capsys, "--right", "+1.00", "--left", "none", "--pd", "61")
    right, left = plan["eyes"]["right"], plan["eyes"]["left"]
    assert right["needed"]["axis"] is None
    assert right["scale_setting_deg"] is None
    assert right["axis_window_deg"] is None
    assert (left["ordered"], left["needed"], left["lens"], left["grade"]) == (None, None, None, "none")


def test_setting_and_window_stand_where_no_lens_is_near_enough(capsys: pytest.CaptureFixture[str]) -> None:
    _, plan = planned(capsys, "--right", "-2.00/-4.50x30", "--left", "-2.00", "--pd", "61")
    right = plan["eyes"]["right"]
    assert (right["lens"], right["grade"], right["edge_thickness_mm"]) == (None, "none", None)
    assert right["scale_setting_deg"] == 34.0  # 30 + asin(1.5 / 21), to the degree
    assert right["axis_window_deg"] == 2.0


@pytest.mark.parametrize("written", ["62.00000000000001", "62.", "62,0", "+62"])
def test_lengths_take_any_decimals(capsys: pytest.CaptureFixture[str], written: str) -> None:
    status, plan = planned(capsys, "--right", "-2.00", "--left", "-2.00", "--pd", written)
    assert (status, plan["frame"]["centre_distance_mm"]) == (0, 62.0)


def test_needed_is_not_rounded_and_ordered_is_as_written(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--right", "-11.00/+3.00x120", "--left", "-8", "--pd", "62", "--refraction-vertex", "14")
    _, plan = planned(capsys, *words)
    right = plan["eyes"]["right"]
    assert right["ordered"] == {"sphere": -11.0, "cylinder": 3.0, "axis": 120.0}
    # -8.00/-3.00x30, each meridian by F / (1 - 0.002 F): computed
    assert right["needed"]["sphere"] == pytest.approx(-8 / 1.016)
    assert right["needed"]["sphere"] + right["needed"]["cylinder"] == pytest.approx(-11 / 1.022)
    assert right["needed"]["axis"] == 30.0


@pytest.mark.parametrize(
    ("words", "verdict", "status"),
    [
        (USUAL, "make", 0),
        (("--right", "-2.25", "--left", "+1.00", "--pd", "61"), "ask", 1),
        (("--right", "-25", "--left", "-25", "--pd", "61"), "return", 1),
        (("--right", "balance", "--left", "-1.00", "--pd", "61", "--near"), "make", 0),
        (("--right", "none", "--left", "none", "--pd", "61"), "return", 1),
        (("--right", "-0.25", "--left", "-0.25", "--pd", "44"), "ask", 1),
        (("--right", "-1.00", "--left", "-1.00", "--pd", "46", "--child"), "return", 1),  # 12 mm too wide
    ],
)
def test_verdict_and_status(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], verdict: str, status: int
) -> None:
    found, plan = planned(capsys, *words)
    assert (plan["verdict"], found) == (verdict, status)


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--right", "-2.25/-1.50", "--left", "1", "--pd", "61"), "has no axis"),
        (("--right", "-2.25x10", "--left", "1", "--pd", "61"), "cannot be read"),
        (("--right", "", "--left", "1", "--pd", "61"), "cannot be read"),
        (("--right", "-2.25/-1.50x181", "--left", "1", "--pd", "61"), "allowed is 0 to 180"),
        (("--right", "-60", "--left", "1", "--pd", "61"), "allowed is -40 to 40 D"),
        (("--right", "1", "--left", "1", "--pd", "6"), "allowed is 30 to 90 mm"),
        (("--right", "1", "--left", "1", "--pd", "wide"), "write millimetres as 61 or 30.5"),
        (("--right", "1", "--left", "1", "--pd", "6_1"), "write millimetres as 61 or 30.5"),
        (("--right", "1", "--left", "1", "--pd", "nan"), "write millimetres as 61 or 30.5"),
        (("--right", "1", "--left", "1", "--pd", "60", "--right-pd", "30"), "both halves or neither"),
        (("--right", "1", "--left", "1", "--pd", "60", "--refraction-vertex", "-3"), "0 to 30 mm"),
        (("--right", "1", "--left", "1", "--pd", "60", "--near-pd", "57"), "with --near only"),
        (("--right", "1", "--left", "1"), "required: --pd"),
        (
            ("--right", "1", "--left", "1", "--pd", "60", "--kit", "/nowhere"),
            "kit.toml: is not there; a kit is",
        ),
        (("--right", "1", "--left", "1", "--pd", "60", "--loud"), "unrecognized arguments: --loud"),
    ],
)
def test_unusable_input_is_one_line_and_status_2(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], message: str
) -> None:
    try:
        status: int | str | None = main(["plan", *words])
    except SystemExit as stopped:
        status = stopped.code
    shown = capsys.readouterr()
    assert status == 2
    assert shown.out == ""
    assert shown.err.count("\n") == 1
    assert message in shown.err


def test_a_kit_is_read_from_its_folder(capsys: pytest.CaptureFixture[str], other_kit_folder: Path) -> None:
    _, plan = planned(capsys, *USUAL, "--kit", str(other_kit_folder))
    assert plan["standard"] == "iso_21987_2017"
    assert plan["frame"]["centre_distance_mm"] == 60.0
    assert plan["eyes"]["right"]["scale_setting_deg"] == 10.0  # index at the pin
    assert plan["eyes"]["right"]["slot_bearing_deg"] == pytest.approx(354.261, abs=1e-3)


def test_text_shows_reasons_table_and_unverified_rows(
    capsys: pytest.CaptureFixture[str], other_kit_folder: Path
) -> None:
    words = ["plan", "--right", "-2.30/-1.50x10", "--left", "balance", "--pd", "61"]
    assert main([*words, "--kit", str(other_kit_folder)]) == 1
    shown = capsys.readouterr().out
    assert shown.startswith(
        "verdict: ask (ask the supervisor)\n  - right sphere -2.30 D is not in quarter steps"
    )
    assert "balance" in shown
    assert "±4°" in shown
    assert "from memory" in shown


def test_minus_powers_may_follow_their_option_or_an_equals_sign(capsys: pytest.CaptureFixture[str]) -> None:
    assert with_negative_values(["--right", "-1.00", "--pd", "60"]) == ["--right=-1.00", "--pd", "60"]
    assert with_negative_values(["--right", "-.5", "--near", "--json"]) == ["--right=-.5", "--near", "--json"]
    status, plan = planned(capsys, "--right=-1.00", "--left", " -1.00", "--pd", "62")
    assert (status, plan["eyes"]["left"]["lens"]["sphere"]) == (0, -1.0)


def test_the_console_command_runs_as_a_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "plan", *USUAL],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "PATH": ""},
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("verdict: make")


def test_a_terminal_without_the_signs_still_shows_the_plan() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "plan", *USUAL],
        cwd=ROOT,
        capture_output=True,
        env={"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "ascii", "PATH": ""},
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"scale setting" in done.stdout


def test_help_needs_no_command_loaded(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 0
    shown = capsys.readouterr().out
    assert all(name in shown for name in COMMANDS)
