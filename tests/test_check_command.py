"""`assistant check`: keys and exit status as documented, on two kits, and as a real command."""

import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from assistant.cli import main
from assistant.kit.profile import Kit

RUN = [sys.executable, "-m", "assistant", "check"]


@pytest.fixture(params=["demo", "forty"])
def at(request: pytest.FixtureRequest, other_kit_folder: Path) -> list[str]:
    """The words that name the kit: none for the demonstration kit."""
    return [] if request.param == "demo" else ["--kit", str(other_kit_folder)]


def checked(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, Any]]:
    status = main(["check", *words, "--json"])
    out = capsys.readouterr()
    assert out.err == ""
    return status, json.loads(out.out)


def written(sphere: float, cylinder: float, axis: float) -> str:
    return f"{sphere:+.2f}/{cylinder:+.2f}x{axis:.3f}"


@pytest.mark.parametrize(("eye", "sign"), [("right", -1.0), ("left", 1.0)])
def test_a_slot_on_the_centre_line(
    capsys: pytest.CaptureFixture[str],
    at: list[str],
    demo: Kit,
    other_kit: Kit,
    eye: str,
    sign: float,
) -> None:
    """The axis comes out alpha low on the right, alpha high on the left (formula of the job)."""
    kit = other_kit if at else demo
    alpha = math.degrees(math.asin(kit.pin.drop_mm / (kit.lens.diameter_mm / 2.0)))
    read = round(30.0 + sign * alpha)
    status, found = checked(
        capsys, *at, "--eye", eye, "--ordered", "-3.00/-2.00x30", "--measured", f"-3.00/-2.00x{read}"
    )
    assert status == 1
    assert set(found) >= {"pass", "standard", "row", "error", "causes", "rescue"}
    assert found["pass"] is False
    assert found["standard"] == kit.standard
    assert "axis" in found["row"]
    assert set(found["error"]) == {"sphere", "cylinder", "axis", "blur"}
    assert found["error"]["sphere"] == found["error"]["cylinder"] == 0.0
    assert found["error"]["axis"] == pytest.approx(read - 30.0)
    first = found["causes"][0]
    assert set(first) == {"code", "predicted", "distance", "ask"}
    assert first["code"] == "slot_on_centre_line"
    assert first["predicted"] == pytest.approx(
        {"sphere": -3.0, "cylinder": -2.0, "axis": 30.0 + sign * alpha}
    )
    assert first["ask"]
    rescue = found["rescue"]
    assert set(rescue) == {"kind", "turn_from_old_slot_deg", "scale_setting_deg", "reason"}
    assert rescue["kind"] == "second_slot"
    assert rescue["turn_from_old_slot_deg"] == pytest.approx(sign * (abs(read - 30.0) - 180.0))
    on_line = kit.protractor.nasal_index == "on_centre_line"
    assert rescue["scale_setting_deg"] == round(30.0 - sign * alpha if on_line else 30.0)


def test_a_pass_in_the_other_form(capsys: pytest.CaptureFixture[str], at: list[str]) -> None:
    """The plus form read off the focimeter is the same lens: no fault."""
    status, found = checked(
        capsys, *at, "--eye", "left", "--ordered", "-3.00/-2.00x30", "--measured", "-5.00/+2.00x120"
    )
    assert status == 0
    assert found["pass"] is True
    assert found["causes"] == []
    assert found["error"] == {
        "sphere": 0.0,
        "cylinder": 0.0,
        "axis": 0.0,
        "blur": pytest.approx(0.0, abs=1e-9),
    }
    assert found["rescue"] == {
        "kind": "none_needed",
        "turn_from_old_slot_deg": None,
        "scale_setting_deg": None,
        "reason": "the lens passes",
    }


def test_the_axis_error_is_the_smallest_turn(capsys: pytest.CaptureFixture[str], at: list[str]) -> None:
    words = ["--eye", "right", "--ordered", "-1.00/-1.00x175", "--measured", "-1.00/-1.00x10"]
    status, found = checked(capsys, *at, *words)
    assert status == 1
    assert found["error"]["axis"] == pytest.approx(15.0)


def test_no_axis_error_without_a_cylinder(capsys: pytest.CaptureFixture[str], at: list[str]) -> None:
    status, found = checked(capsys, *at, "--eye", "right", "--ordered", "-3.00", "--measured", "+3.00")
    assert status == 1
    assert found["error"]["axis"] is None
    assert [cause["code"] for cause in found["causes"]] == ["sphere_sign"]
    assert found["causes"][0]["predicted"] == {"sphere": 3.0, "cylinder": 0.0, "axis": None}
    assert found["rescue"]["kind"] == "set_aside"


def test_swapped_lenses_are_named_only_with_the_other_eye(
    capsys: pytest.CaptureFixture[str], at: list[str], demo: Kit, other_kit: Kit
) -> None:
    twice = 2.0 * (other_kit if at else demo).pin_depression_deg
    words = ["--eye", "right", "--ordered", "-6.00/-2.00x30", "--measured", written(1.0, -1.0, 100.0 - twice)]
    _, alone = checked(capsys, *at, *words)
    assert "lenses_swapped" not in [cause["code"] for cause in alone["causes"]]
    _, both = checked(capsys, *at, *words, "--other-eye", "+1.00/-1.00x100")
    assert both["causes"][0]["code"] == "lenses_swapped"
    assert both["rescue"]["kind"] == "swap_lenses"


def test_what_nothing_explains_is_unknown(capsys: pytest.CaptureFixture[str], at: list[str]) -> None:
    words = ["--eye", "right", "--ordered", "-3.00/-2.00x30", "--measured", "+7.50/-0.25x30"]
    status, found = checked(capsys, *at, *words)
    assert status == 1
    assert [cause["code"] for cause in found["causes"]] == ["unknown"]
    assert found["causes"][0]["predicted"] is None
    assert found["rescue"]["kind"] == "seat_again"
    assert "if it reads the same: nothing explains its powers: set it aside" in found["rescue"]["reason"]


def test_any_decimals(capsys: pytest.CaptureFixture[str], at: list[str]) -> None:
    words = ["--eye", "left", "--ordered", "-2.3712/-1.487x33.25", "--measured", "-2.40/-1.50x33"]
    status, found = checked(capsys, *at, *words)
    assert status == 0
    assert found["error"]["sphere"] == pytest.approx(-0.0288)
    assert found["error"]["axis"] == pytest.approx(-0.25)


def test_the_words_for_people(capsys: pytest.CaptureFixture[str], at: list[str]) -> None:
    words = ["--eye", "right", "--ordered", "-3.00/-2.00x30", "--measured", "-3.00/-2.00x120"]
    assert main(["check", *at, *words]) == 1
    out = capsys.readouterr().out
    assert out.startswith("verdict: fail\nrow: ")
    assert "cause: plus_axis_dotted, which would read -3.00/-2.00x120" in out
    assert "rescue: second_slot: dot the lens again" in out
    assert ("from memory" in out) == bool(at)  # ISO 21987 was not open to us


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["--eye", "right", "--ordered", "-3.00/-2.00x30"], "--measured"),
        (["--eye", "middle", "--ordered", "-3.00", "--measured", "-3.00"], "middle"),
        (["--eye", "right", "--ordered", "-3.00/-2.00x190", "--measured", "-3.00"], "axis is 190"),
        (["--eye", "right", "--ordered", "-3.00/-2.00", "--measured", "-3.00"], "no axis"),
        (["--eye", "right", "--ordered", "three", "--measured", "-3.00"], "'three'"),
        (["--eye", "right", "--ordered", "-93.00", "--measured", "-3.00"], "sphere is -93"),
        (["--eye", "right", "--ordered", "-3.00", "--measured", "-3.00", "--other-eye", "x"], "--other-eye"),
        (["--kit", "/nowhere", "--eye", "right", "--ordered", "-3.00", "--measured", "-3.00"], "/nowhere"),
    ],
)
def test_unusable_input_is_one_line_and_status_2(words: list[str], named: str) -> None:
    done = subprocess.run([*RUN, *words], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert named in done.stderr


def test_the_real_command() -> None:
    words = ["--eye", "right", "--ordered", "-3.00/-2.00x30", "--measured", "-3.00/-2.00x26", "--json"]
    done = subprocess.run([*RUN, *words], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stderr == ""
    assert json.loads(done.stdout)["causes"][0]["code"] == "slot_on_centre_line"
