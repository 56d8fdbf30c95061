"""A board goes on with the kit that its benches' records were made with; another is refused before it folds them."""

import subprocess
import sys
from pathlib import Path

import pytest
from clinics import Clinic

from assistant.commands.board import DATABASE
from assistant.hub.protocol import kit_mark
from assistant.kit.kept import KEPT_FOLDER, keep_beside
from assistant.kit.load import load_kit
from assistant.kit.profile import Kit
from assistant.workflow.steps import BY_ID


def report(folder: Path, *options: str) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "-m", "assistant", "board", "--folder", str(folder), *options]
    return subprocess.run(
        [*command, "--report", str(folder / "out")], capture_output=True, text=True, timeout=120, check=False
    )


@pytest.fixture
def known(tmp_path: Path, other_kit: Kit) -> Path:
    """A board's folder with one bench's lines."""
    folder = tmp_path / "board"
    folder.mkdir()
    clinic = Clinic(folder / DATABASE, other_kit)
    clinic.bench("heron").until("order")
    clinic.send("heron")
    clinic.store.close()
    return folder


def test_records_made_with_another_kit_are_not_folded(known: Path, other_kit_folder: Path) -> None:
    (known / "clinic-clinic").mkdir()
    keep_beside(known / "clinic-clinic", other_kit_folder)
    refused = report(known)
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr.startswith("assistant board: the benches' records here were made with the kit in")
    assert "begins in another --folder" in refused.stderr
    assert refused.stderr.count("\n") == 1
    assert not (known / "out").exists()
    assert report(known, "--kit", str(other_kit_folder)).returncode == 0


def test_a_board_keeps_its_kit_and_one_without_records_takes_another(
    tmp_path: Path, demo: Kit, other_kit: Kit, other_kit_folder: Path
) -> None:
    kept = tmp_path / "clinic-clinic" / KEPT_FOLDER
    for options, kit in (((), demo), (("--kit", str(other_kit_folder)), other_kit)):
        command = [sys.executable, "-m", "assistant", "board", "--plain", "--no-zeroconf", *options]
        done = subprocess.run(
            [*command, "--address", "127.0.0.1:0", "--folder", str(tmp_path)],
            input="quit\n",
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert kit_mark(load_kit(kept, BY_ID)) == kit_mark(kit)


def test_another_clinic_in_the_same_folder_has_a_kit_of_its_own(known: Path, other_kit_folder: Path) -> None:
    (known / "clinic-clinic").mkdir()
    keep_beside(known / "clinic-clinic", other_kit_folder)
    assert report(known, "--clinic", "up river / quay").returncode == 0


def test_a_folder_of_a_time_before_kits_were_kept_goes_on(known: Path, other_kit_folder: Path) -> None:
    done = report(known, "--kit", str(other_kit_folder))
    assert (done.returncode, done.stderr) == (0, "")
