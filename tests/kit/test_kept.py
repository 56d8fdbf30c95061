"""The kit kept beside a record is the one it was made with."""

import shutil
from pathlib import Path

import pytest

from assistant.kit.kept import KEPT_FOLDER, keep_beside, kept_beside
from assistant.kit.load import BANK_FILE, KIT_FILE, demo_kit, load_kit


def test_a_kit_is_kept_whole_and_found_again(tmp_path: Path, other_kit_folder: Path) -> None:
    assert kept_beside(tmp_path) is None
    keep_beside(tmp_path, other_kit_folder)
    kept = kept_beside(tmp_path)
    assert kept is not None
    assert load_kit(kept).name == load_kit(other_kit_folder).name
    assert sorted(file.name for file in kept.iterdir()) == sorted([KIT_FILE, BANK_FILE])


def test_a_changed_kit_takes_the_place_of_the_old_one(tmp_path: Path, other_kit_folder: Path) -> None:
    source = Path(shutil.copytree(other_kit_folder, tmp_path / "mine"))
    keep_beside(tmp_path, source)
    before = (tmp_path / KEPT_FOLDER / BANK_FILE).stat().st_mtime_ns
    text = (source / KIT_FILE).read_text()
    (source / KIT_FILE).write_text(text.replace("Second test kit", "Third test kit"))
    keep_beside(tmp_path, source)
    assert load_kit(tmp_path / KEPT_FOLDER).name == "Third test kit"
    assert (tmp_path / KEPT_FOLDER / BANK_FILE).stat().st_mtime_ns == before


def test_the_demonstration_kit_is_kept_like_any_other(tmp_path: Path, other_kit_folder: Path) -> None:
    keep_beside(tmp_path, other_kit_folder)
    keep_beside(tmp_path, None)
    assert load_kit(tmp_path / KEPT_FOLDER).name == demo_kit().name


def test_a_folder_that_cannot_be_written_is_an_error(tmp_path: Path, other_kit_folder: Path) -> None:
    (tmp_path / KEPT_FOLDER).write_text("in the way")
    with pytest.raises(OSError, match="File exists"):
        keep_beside(tmp_path, other_kit_folder)
