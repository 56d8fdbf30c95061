"""A case packed anew: other counts, and not a letter else."""

from pathlib import Path

import pytest

from assistant.kit.bank_file import read_bank
from assistant.kit.load import BANK_FILE, KIT_FILE, demo_folder
from assistant.kit.packing import bank_with_counts, kit_with_frames, less_frames
from assistant.kit.profile import FrameSize, Kit


@pytest.fixture
def folder(kit: Kit, demo: Kit, other_kit_folder: Path) -> Path:
    with demo_folder() as shipped:
        return shipped if kit is demo else other_kit_folder


def test_with_the_same_counts_nothing_changes(kit: Kit, folder: Path) -> None:
    bank, profile = (folder / BANK_FILE).read_text(), (folder / KIT_FILE).read_text()
    counts = dict(zip(kit.bank.pocket.tolist(), kit.bank.count.tolist(), strict=True))
    assert bank_with_counts(bank, counts) == bank
    assert kit_with_frames(profile, kit.frames) == profile


def test_only_the_counts_change(kit: Kit, folder: Path) -> None:
    bank, profile = (folder / BANK_FILE).read_text(), (folder / KIT_FILE).read_text()
    counts = {pocket: pocket % 3 for pocket in kit.bank.pocket.tolist()}
    again = read_bank(BANK_FILE, bank_with_counts(bank, counts), kit.limits, kit.tray)
    assert again.count.tolist() == [pocket % 3 for pocket in again.pocket.tolist()]
    for column in ("sphere", "cylinder", "pocket"):
        assert (getattr(again, column) == getattr(kit.bank, column)).all()
    assert again.check_number == kit.bank.check_number
    first, *rest = kit.frames
    fewer = less_frames(first, 1)
    changed = [
        (old, new)
        for old, new in zip(
            profile.splitlines(), kit_with_frames(profile, (fewer, *rest)).splitlines(), strict=True
        )
        if old != new
    ]
    assert len(changed) == 1
    assert "colours" in changed[0][0]


def test_a_bank_s_own_order_of_columns_and_its_empty_lines_stay() -> None:
    text = (
        "pocket, count,sphere,check_number,cylinder\n7,3,-1.00,11,0\n\n 8 ,2,+0.125,12,\N{MINUS SIGN}0.50\n"
    )
    changed = bank_with_counts(text, {7: 0, 8: 1})
    assert changed == (
        "pocket, count,sphere,check_number,cylinder\n7,0,-1.00,11,0\n\n 8 ,1,+0.125,12,\N{MINUS SIGN}0.50\n"
    )


def test_comments_and_other_ways_of_writing_frames_stay() -> None:
    text = "# the quay\n[[frames]] # small\ncentre_distance_mm = 58\n[frames.colours]\nblue = 3 # bright\nbrown = 2\n"
    assert kit_with_frames(text, (FrameSize(58.0, {"blue": 1, "brown": 2}),)) == text.replace("= 3", "= 1")


@pytest.mark.parametrize(
    ("left", "colours"),
    [
        (8, {"blue": 5, "brown": 2, "red": 1}),
        (6, {"blue": 3, "brown": 2, "red": 1}),
        (3, {"blue": 1, "brown": 1, "red": 1}),
        (0, {"blue": 0, "brown": 0, "red": 0}),
    ],
)
def test_the_fullest_colour_gives_first(left: int, colours: dict[str, int]) -> None:
    assert less_frames(FrameSize(58.0, {"blue": 5, "brown": 2, "red": 1}), left) == FrameSize(58.0, colours)
