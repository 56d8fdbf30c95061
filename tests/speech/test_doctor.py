"""What does not work is named with what to do, and the rest is still checked."""

from pathlib import Path

import pytest

from assistant.cli import main


def test_a_missing_model_fails_and_the_rest_is_checked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("ASSISTANT_MODELS", str(tmp_path / "none"))
    assert main(["doctor", "--home", str(tmp_path)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert any(line.startswith("model sw: FAILS: there is no number model for 'sw'") for line in lines)
    assert any(line.startswith("voice en: well") for line in lines)
