"""The picture chosen at the start of the day brings the helper's own model with it."""

import shutil
from pathlib import Path

import pytest

from assistant.cli import main
from assistant.language.listening import Listening
from assistant.speech.equipment import recognisers
from assistant.speech.helper_pictures import PICTURE, give_picture, helper_with
from assistant.speech.model_folder import number_model
from assistant.speech.understanding import Asked


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Two helpers with a model each."""
    for name, beam in (("heron-one", "13"), ("heron-two", "12")):
        model = tmp_path / "helpers" / name / "en"
        shutil.copytree(number_model("en"), model)
        settings = (model / "conf" / "model.conf").read_text()
        assert "--beam=14" in settings
        (model / "conf" / "model.conf").write_text(settings.replace("--beam=14", f"--beam={beam}"))
    return tmp_path


def test_a_picture_is_given_and_found_again(home: Path) -> None:
    assert helper_with(home, 3) is None
    give_picture(home, "heron-two", 3)
    assert helper_with(home, 3) == "heron-two"
    assert helper_with(home, None) is None
    give_picture(home, "heron-two", 4)
    assert [helper_with(home, number) for number in (3, 4)] == [None, "heron-two"]


def test_what_cannot_be_given_is_said_in_a_sentence(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    give_picture(home, "heron-two", 3)
    for helper, number, why in (
        ("nobody", "3", "enrol the helper first"),
        ("heron-one", "12", "allowed is 1 to 9"),
        ("heron-one", "3", "picture 3 is heron-two's"),
    ):
        command = ["voice", "picture", "--helper", helper, "--number", number, "--home", str(home)]
        assert main(command) == 2
        assert why in capsys.readouterr().err
    assert main(["voice", "picture", "--helper", "heron-one", "--number", "1", "--home", str(home)]) == 0
    assert helper_with(home, 1) == "heron-one"


def test_a_spoilt_file_is_passed_over(home: Path) -> None:
    (home / "helpers" / "heron-one" / PICTURE).write_bytes(b"\xff\xfe")
    give_picture(home, "heron-two", 3)
    assert helper_with(home, 3) == "heron-two"


def test_the_ear_follows_whoever_is_at_the_bench(home: Path) -> None:
    at_the_bench: list[str | None] = [None]
    of = recognisers(home, lambda: at_the_bench[0])
    asked = Asked(Listening.DIGIT, "en")
    heard: list[object] = []
    for who in (None, "heron-one", "heron-two", "nobody"):
        at_the_bench[0] = who
        heard.append(of(asked))
    assert heard[0] is heard[3], "who has no model is heard with the shared one"
    assert len({id(one) for one in heard}) == 3
