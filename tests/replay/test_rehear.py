"""Kept recordings heard again by the shipped models, and what is said where one cannot be."""

import shutil
from pathlib import Path

import pytest

from assistant.bench.spoken import asked
from assistant.replay.opening import Opened, open_session
from assistant.replay.rehear import Reheard, clip_path, reheard
from assistant.speech.equipment import recognisers
from assistant.speech.hearing import RecogniserOf

SHIPPED = Path(__file__).parents[2] / "demo_sessions"
MODELS = Path(__file__).parents[2] / "models"


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home")


def again(opened: Opened, ears: RecogniserOf) -> list[Reheard]:
    found = (reheard(opened.path, moment, ears, asked) for moment in opened.timeline)
    return [one for one in found if one is not None]


@pytest.mark.parametrize("name", ["04-fifteen-for-fifty", "14-said-in-swahili"])
def test_clips_are_heard_in_their_own_context_and_language(name: str, home: Path) -> None:
    opened = open_session(SHIPPED / f"{name}.jsonl")
    spoken = [moment.line for moment in opened.timeline if moment.entry and moment.entry.clip]
    found = again(opened, recognisers(home))
    assert [one.line for one in found] == spoken
    assert len(found) > 20
    assert not any(one.trouble for one in found)
    # figures may be written otherwise than the keypad would have: -2.00 and -2 are one entry
    same = sum(not one.differs for one in found)
    assert same >= 0.8 * len(found), [one.words for one in found if one.differs]


def test_the_fifteen_that_was_taken_for_fifty_is_noticed(home: Path) -> None:
    """The clip says fifteen; the ear of that day took it for fifty."""
    opened = open_session(SHIPPED / "04-fifteen-for-fifty.jsonl")
    refused = next(moment for moment in opened.timeline if moment.mistakes)
    found = reheard(opened.path, refused, recognisers(home), asked)
    assert found is not None
    assert (found.heard_then, found.text_then) == ("fifty", "50")
    assert found.differs
    assert "DIFFERS" in found.words


def test_another_model_is_the_one_that_hears(home: Path) -> None:
    """A model that has not the words of the language cannot hear, and says which words."""
    opened = open_session(SHIPPED / "04-fifteen-for-fifty.jsonl")
    found = again(opened, recognisers(home, given=MODELS / "sw"))
    assert found
    assert all("does not say how these are spoken" in one.trouble for one in found)
    assert not any(one.differs for one in found)


def test_a_helper_s_own_model_is_taken(home: Path) -> None:
    shutil.copytree(MODELS / "en", home / "helpers" / "asha" / "en")
    opened = open_session(SHIPPED / "04-fifteen-for-fifty.jsonl")
    assert len(again(opened, recognisers(home, "asha"))) > 20


def test_a_clip_that_is_gone_is_said(tmp_path: Path, home: Path) -> None:
    opened = open_session(Path(shutil.copy(SHIPPED / "04-fifteen-for-fifty.jsonl", tmp_path)))
    found = again(opened, recognisers(home))
    assert found
    assert all("cannot be heard again" in one.words for one in found)


def test_a_session_without_recordings_has_none_to_hear(home: Path) -> None:
    assert again(open_session(SHIPPED / "01-smooth-pair.jsonl"), recognisers(home)) == []


@pytest.mark.parametrize("name", ["../secret.flac", "/etc/passwd", "a/b.flac", ".."])
def test_a_clip_s_name_never_leads_elsewhere(name: str) -> None:
    with pytest.raises(ValueError, match="is not the name of a file"):
        clip_path(SHIPPED / "x.jsonl", name)
