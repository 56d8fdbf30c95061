from pathlib import Path

import pytest

from assistant.cli import main


def test_a_good_kit_is_described(capsys: pytest.CaptureFixture[str], other_kit_folder: Path) -> None:
    assert main(["kit"]) == 0
    assert "lenses: 960 in 591 pockets, 42 mm across" in capsys.readouterr().out
    assert main(["kit", str(other_kit_folder)]) == 0
    shown = capsys.readouterr().out
    assert "60 mm x 12, 64 mm x 20, 68 mm x 20" in shown
    assert "5.74 degrees; nasal index at_pin" in shown
    assert "from memory" in shown


def test_a_bad_kit_is_one_line(
    capsys: pytest.CaptureFixture[str], other_kit_folder: Path, tmp_path: Path
) -> None:
    for name in ("kit.toml", "bank.csv"):
        text = (other_kit_folder / name).read_text(encoding="utf-8")
        (tmp_path / name).write_text(text.replace("+0.25,-0.50", "+0.25,+0.50"), encoding="utf-8")
    assert main(["kit", str(tmp_path)]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    line = 2 + (other_kit_folder / "bank.csv").read_text(encoding="utf-8").splitlines()[1:].index(
        next(
            row
            for row in (other_kit_folder / "bank.csv").read_text(encoding="utf-8").splitlines()
            if row.startswith("+0.25,-0.50")
        )
    )
    assert shown.err == f"assistant kit: bank.csv line {line}, cylinder: is '+0.50'; allowed is -4 to 0\n"
