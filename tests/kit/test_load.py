"""A kit is refused with file, line, field and what is allowed."""

import re
import shutil
from pathlib import Path

import numpy as np
import pytest

from assistant.kit.bank_file import neighbours
from assistant.kit.fields import KitError
from assistant.kit.load import demo_kit, load_kit
from assistant.kit.profile import Kit, NasalIndex, Tray
from assistant.kit.spread import LENSES, bank_csv
from assistant.optics.eye import Eye
from assistant.workflow.steps import BY_ID

DEMO = Path(__file__).parents[2] / "assistant" / "kit" / "demo"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demonstration kit to spoil."""
    for name in ("kit.toml", "bank.csv"):
        shutil.copy(DEMO / name, tmp_path / name)
    return tmp_path


def spoil(file: Path, old: str, new: str) -> int:
    """Replace the first `old`; returns the line it stood on."""
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def test_demo_kit_is_the_boat_clinics(demo: Kit) -> None:
    assert demo.lens.diameter_mm == 42.0
    assert [frame.centre_distance_mm for frame in demo.frames] == [58.0, 62.0, 66.0]
    assert demo.protractor.nasal_index is NasalIndex.ON_CENTRE_LINE
    # asin(1.5 / 21) = 4.096 degrees, computed
    assert demo.pin_bearing_deg(Eye.RIGHT) == pytest.approx(355.904, abs=1e-3)
    assert demo.pin_bearing_deg(Eye.LEFT) == pytest.approx(184.096, abs=1e-3)


def test_demo_bank_is_the_spread_that_its_script_prints() -> None:
    assert (DEMO / "bank.csv").read_text(encoding="utf-8") == bank_csv()


def test_demo_bank_holds_960_lenses_densest_where_needed(demo: Kit) -> None:
    bank = demo.bank
    assert bank.count.sum() == LENSES == 960
    assert (bank.count >= 1).all()
    mean = bank.sphere + bank.cylinder / 2
    assert bank.count[np.abs(mean) <= 3].sum() > bank.count[np.abs(mean) > 3].sum()
    spheres = bank.sphere[bank.cylinder == 0]
    assert sorted(spheres) == [n / 4 for n in range(-48, 49)]
    assert np.allclose(bank.cylinder * 4, np.round(bank.cylinder * 4))


def test_no_neighbours_share_a_check_number(kit: Kit) -> None:
    number = dict(zip(kit.bank.pocket.tolist(), kit.bank.check_number, strict=True))
    for pocket, check_number in number.items():
        assert all(number.get(other) != check_number for other in neighbours(pocket, kit.tray))


def test_neighbours_in_a_tray_and_across_trays() -> None:
    tray = Tray(columns=5, rows=2)
    assert set(neighbours(1, tray)) == {2, 6}
    assert set(neighbours(6, tray)) == {5, 7, 1}
    assert set(neighbours(11, tray)) == {10, 12, 16}


def test_time_budgets_name_steps_of_the_job(demo: Kit, other_kit: Kit) -> None:
    assert set(demo.time_budget_s) | set(other_kit.time_budget_s) <= set(BY_ID)


SPOILT_TOML = [
    ("diameter_mm = 42.0", "diameter_mm = 420", "lens.diameter_mm", "20 to 90"),
    ("diameter_mm = 42.0", "diameter_mm = nan", "lens.diameter_mm", "20 to 90"),
    ("diameter_mm = 42.0", 'diameter_mm = "42"', "lens.diameter_mm", "20 to 90"),
    ("diameter_mm = 42.0", "diameter_mm = true", "lens.diameter_mm", "20 to 90"),
    ("diameter_mm = 42.0", "diametre_mm = 42.0", "lens.diametre_mm", "diameter_mm"),
    ('standard = "ansi_z80_1_2015"', 'standard = "ansi"', "kit.standard", "ansi_z80_1_2015"),
    ('standard = "ansi_z80_1_2015"', 'standard = "iso_8980_1_2017"', "kit.standard", "iso_21987_2017"),
    ("drop_mm = 1.5", "drop_mm = 21", "pin.drop_mm", "less than the lens radius, 21"),
    ("least_engagement_mm = 0.5", "least_engagement_mm = 2.6", "pin.least_engagement_mm", "2.5"),
    ("width_mm = 1.0", "width_mm = 0.9", "slot.width_mm", "more than the pin's diameter, 0.9"),
    ("aimed_depth_mm = 1.0", "aimed_depth_mm = 1.5", "slot.aimed_depth_mm", "0.8 to 1.4"),
    ("least_depth_mm = 0.8", "least_depth_mm = 0.6", "slot.least_depth_mm", "0.7"),
    ("step_deg = 1.0", "step_deg = 7", "protractor.step_deg", "divides 180"),
    ("step_deg = 1.0", "step_deg = 0.5", "protractor.step_deg", "1 to 30"),
    ("step_deg = 1.0", "step_deg = 2.5", "protractor.step_deg", "a whole number"),
    ("axis_step_deg = 1.0", "axis_step_deg = 0.5", "focimeter.axis_step_deg", "1 to 30"),
    ('"on_centre_line"', '"in_the_middle"', "protractor.nasal_index", "at_pin, on_centre_line"),
    ('"-3.00/-1.00x90"', '"-3.00/-1.00"', "focimeter.reference", "1 to 180"),
    ("[-12.0, 12.0]", "[12.0, -12.0]", "limits.sphere_range_d", "low then high"),
    ("[-12.0, 12.0]", "[-12.0]", "limits.sphere_range_d", "two numbers"),
    ("acuity_question = 12", "acuity_question = 12.5", "limits.acuity_question", "whole number"),
    ("columns = 15", "columns = 0", "tray.columns", "1 to 100"),
    ("blue = 30", "blue = -1", "frames[1].colours", "0 or more"),
    ("centre_distance_mm = 62.0", "centre_distance_mm = 58.0", "frames[2].centre_distance_mm", "once"),
    ("wearer = 60", "weaver = 60", "time_budget_s.weaver", "wearer"),
    ("wearer = 60", "wearer = 0", "time_budget_s.wearer", "1 to 3600"),
    ('["4071", "2938"]', '["4071", 2938]', "supervisor.codes", "digits"),
    ("[tray]", "[tary]", "tary", "tray"),
    ("[kit]", "[[kit]]", "[kit]", "one section [kit]"),
]


@pytest.mark.parametrize(("old", "new", "field", "allowed"), SPOILT_TOML)
def test_kit_toml_refusals(folder: Path, old: str, new: str, field: str, allowed: str) -> None:
    line = spoil(folder / "kit.toml", old, new)
    with pytest.raises(KitError) as refused:
        load_kit(folder, BY_ID)
    assert refused.value.file == "kit.toml"
    assert refused.value.field == field
    assert allowed in str(refused.value)
    assert "allowed" in str(refused.value)
    if refused.value.line is not None:
        assert refused.value.line == line
    else:
        assert field == "[kit]"
    assert "\n" not in str(refused.value)


def test_missing_field_names_its_section_line(folder: Path) -> None:
    text = (folder / "kit.toml").read_text(encoding="utf-8")
    (folder / "kit.toml").write_text(re.sub(r"rim_depth_mm.*\n", "", text), encoding="utf-8")
    section = text[: text.index("[lens]")].count("\n") + 1
    with pytest.raises(KitError, match=rf"kit.toml line {section}, lens.rim_depth_mm: is missing"):
        load_kit(folder)


def test_text_that_is_not_toml_names_the_line(folder: Path) -> None:
    line = spoil(folder / "kit.toml", "drop_mm = 1.5", "drop_mm = = 1.5")
    with pytest.raises(KitError, match=f"kit.toml line {line}: not TOML"):
        load_kit(folder)


def test_a_missing_file_is_named(folder: Path) -> None:
    (folder / "bank.csv").unlink()
    with pytest.raises(KitError, match=r"bank\.csv: is not there; a kit is a folder with"):
        load_kit(folder)


def test_a_lens_that_cannot_be_made_is_refused(folder: Path) -> None:
    # radius of a +12 front at index 1.498: 41.5 mm, less than half of 88 mm
    spoil(folder / "kit.toml", "diameter_mm = 42.0", "diameter_mm = 88.0")
    with pytest.raises(KitError, match=r"lens.diameter_mm.*too steep"):
        load_kit(folder)


SPOILT_CSV = [
    (2, "sphere", "x", "-12 to 12"),
    (3, "sphere", "-12.25", "-12 to 12"),
    (4, "cylinder", "0.25", "-3 to 0"),
    (5, "cylinder", "nan", "-3 to 0"),
    (6, "count", "-1", "whole number"),
    (7, "count", "1.5", "whole number"),
    (8, "pocket", "0", "whole number"),
    (9, "pocket", "1", "each number once"),
    (10, "check_number", "7", "two digits"),
    (11, "check_number", "1a", "two digits"),
]


@pytest.mark.parametrize(("line", "column", "cell", "allowed"), SPOILT_CSV)
def test_bank_csv_refusals(folder: Path, line: int, column: str, cell: str, allowed: str) -> None:
    lines = (folder / "bank.csv").read_text(encoding="utf-8").splitlines()
    cells = lines[line - 1].split(",")
    cells[lines[0].split(",").index(column)] = cell
    lines[line - 1] = ",".join(cells)
    (folder / "bank.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pytest.raises(KitError, match=rf"bank.csv line {line}, {column}: is .*{allowed}"):
        load_kit(folder)


@pytest.mark.parametrize("apart", [1, 15])
def test_neighbouring_pockets_never_share_a_check_number(folder: Path, apart: int) -> None:
    lines = (folder / "bank.csv").read_text(encoding="utf-8").splitlines()
    first, second = lines[20].split(","), lines[20 + apart].split(",")
    second[4] = first[4]
    lines[20 + apart] = ",".join(second)
    (folder / "bank.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pytest.raises(KitError, match=f"line {21 + apart}, check_number: is {first[4]}, as in pocket 20"):
        load_kit(folder)


def test_columns_may_stand_in_any_order(folder: Path, demo: Kit) -> None:
    rows = [line.split(",") for line in (folder / "bank.csv").read_text(encoding="utf-8").splitlines()]
    turned = "\n".join(",".join(reversed(row)) for row in rows)
    (folder / "bank.csv").write_text(turned, encoding="utf-8")
    assert np.array_equal(load_kit(folder).bank.sphere, demo.bank.sphere)


@pytest.mark.parametrize("text", ["", "sphere,cylinder\n", "sphere,cylinder,count,pocket,check_number\n"])
def test_an_empty_bank_is_refused(folder: Path, text: str) -> None:
    (folder / "bank.csv").write_text(text, encoding="utf-8")
    with pytest.raises(KitError, match=r"bank.csv line \d"):
        load_kit(folder)


def test_a_short_row_is_refused(folder: Path) -> None:
    (folder / "bank.csv").write_text("sphere,cylinder,count,pocket,check_number\n1,0,1\n", encoding="utf-8")
    with pytest.raises(KitError, match=r"bank\.csv line 2, row: has 3 columns"):
        load_kit(folder)


def test_loading_twice_gives_the_same_bank() -> None:
    assert np.array_equal(demo_kit().bank.pocket, demo_kit().bank.pocket)
