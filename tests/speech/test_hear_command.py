"""`assistant say` and `assistant hear` together: it understands its own numbers in every language."""

import json
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.cli import main
from assistant.language.lexicon import LANGUAGES
from assistant.language.spell import spell_number

NUMBERS = {"axis": "175", "power": "-2.25", "length": "0.9", "check-number": "07", "digits": "1234"}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


def spoken(home: Path, text: str, language: str, name: str) -> Path:
    out = home / f"{name}.wav"
    assert main(["say", text, "--language", language, "--out", str(out), "--home", str(home)]) == 0
    return out


@pytest.mark.parametrize("language", LANGUAGES)
def test_its_own_numbers_are_understood(
    language: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for listening, value in NUMBERS.items():
        amount = value if listening in ("check-number", "digits") else Decimal(value)
        words = spell_number(amount, listening, language)
        file = spoken(home, words, language, f"{language}-{listening}")
        capsys.readouterr()
        options = ["--listen-for", listening, "--language", language, "--home", str(home), "--json"]
        assert main(["hear", str(file), *options]) == 0
        (result,) = json.loads(capsys.readouterr().out)
        wanted = value if listening in ("check-number", "digits") else float(value)
        assert result["value"] == wanted, result


def test_the_json_has_the_keys_that_scripts_rely_on(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = [str(spoken(home, word, "en", f"word-{word}")) for word in ("yes", "no")]
    capsys.readouterr()
    assert main(["hear", *files, "--listen-for", "yes-no", "--home", str(home), "--json"]) == 0
    results = json.loads(capsys.readouterr().out)
    assert [result["file"] for result in results] == files
    assert [result["value"] for result in results] == ["yes", "no"]
    keys = {"file", "heard", "value", "accepted", "confidence", "seconds", "real_time_factor"}
    assert all(keys <= result.keys() for result in results)


def test_a_file_that_is_not_there_is_named(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    missing = home / "not-there.wav"
    assert main(["hear", str(missing), "--listen-for", "axis", "--home", str(home), "--json"]) == 2
    out = capsys.readouterr()
    (result,) = json.loads(out.out)
    assert result["value"] is None
    assert str(missing) in out.err


def test_figures_are_refused_by_the_synthesiser(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["say", "-2.25", "--out", str(home / "x.wav"), "--home", str(home)]) == 2
    assert "words" in capsys.readouterr().err
