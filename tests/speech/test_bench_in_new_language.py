"""A helper enrolled in a language without sentences works at the real bench: heard in it, spoken to in Swahili.

Synthesised clips stand in for the person. The suite goes to the first lens in the hand; `WHOLE_PAIRS=1` makes a pair.
"""

import asyncio
import os
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from new_words import Enrolled, forgotten
from scripted_sound import ScriptedSpeaker

from assistant.bench import performer as performing
from assistant.bench.demonstration import Demonstration
from assistant.bench.lips import Lips
from assistant.bench.performer import Performer
from assistant.bench.session import RECORD, Session
from assistant.bench.spoken import asked
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.kit.load import demo_kit, demo_orders
from assistant.language.lexicon import LANGUAGES
from assistant.language.phrases import vocabulary
from assistant.language.prompts import Talk, say
from assistant.practice.helper import VirtualHelper
from assistant.practice.slips import CAREFUL
from assistant.replay.listing import rows
from assistant.replay.opening import open_session
from assistant.replay.rehear import reheard
from assistant.replay.telling import all_lines
from assistant.replay.viewing import Viewing
from assistant.speech.equipment import parts, recognisers
from assistant.speech.fed import FedMicrophone
from assistant.speech.level import trimmed
from assistant.speech.new_language import choosable
from assistant.speech.sound import Sound, read_sound, resampled, write_sound
from assistant.speech.synth import Synthesiser
from assistant.speech.voice import Voice
from assistant.ui.glyphs import Glyphs
from assistant.workflow.events import Answered, DayOpened, Source

WHOLE = os.environ.get("WHOLE_PAIRS") == "1"
UNTIL = "nothing" if WHOLE else "read"
PATIENCE_S = 300.0
GREETING = Sound((8000 * np.sin(np.arange(11025) / 7)).astype(np.int16), 22050)
"""What somebody recorded in the new language for a sentence."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What a morning left."""

    home: Path
    folder: Path
    played: list[Sound]
    captions: list[str]

    @property
    def said(self) -> list[Answered]:
        """Entries that were spoken."""
        lines = read(self.folder / RECORD, EVENTS).lines
        answers = [line.event for line in lines if isinstance(line.event, Answered)]
        return [event for event in answers if event.source is Source.VOICE]


@pytest.fixture(scope="module")
def worked(
    enrolled: Enrolled, synthesiser: Synthesiser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Worked]:
    """From the first screen on by voice, through the bench's own ear and with the helper's own model."""
    folder = tmp_path_factory.mktemp("bench")
    greeting = enrolled.home / "recordings" / "tq" / "step-index.flac"
    greeting.parent.mkdir(parents=True, exist_ok=True)
    write_sound(greeting, GREETING)
    with forgotten() as patch:
        patch.setattr(performing, "LATE_S", PATIENCE_S)  # a busy machine does not make the helper key
        patch.setattr(performing, "FIRST_LOOK_S", 0.0)
        patch.setattr(performing, "BRISK", frozenset({"helper", "language", "cutter"}))
        patch.setattr(performing, "KEYED", frozenset({"helper", "language", "cutter", "sound", "supervisor"}))
        captions: list[str] = []
        played = asyncio.run(_morning(enrolled.home, folder, captions))
        yield Worked(enrolled.home, folder, played, captions)


async def _morning(home: Path, folder: Path, captions: list[str]) -> list[Sound]:
    speaker = ScriptedSpeaker()
    brought, wrong = choosable(home)
    assert (brought, wrong) == ({"tq": "sw"}, ())
    session, _ = Session.open(folder, "heron", demo_kit(), time.time)
    opening = session.begin_day("2026-11-02", demo_orders(), brought)
    microphone = FedMicrophone(lambda: voice.speaking)
    voice = Voice(
        replace(parts(home, folder, "amina"), player=lambda: speaker, microphone=lambda: microphone)
    )
    lips = Lips(microphone, Synthesiser(home / "cache" / "person", {"tq": "sw"}), ScriptedSpeaker())
    hands = VirtualHelper(demo_kit(), 1, CAREFUL, language=len(LANGUAGES) + 1)
    app = Demonstration(session, opening, Glyphs.SIXTEEN, voice, Talk.USUAL)
    app.performer = Performer(hands, voice, lips)
    try:
        async with app.run_test(size=(80, 24)):
            end = time.monotonic() + PATIENCE_S
            while app.playing and session.bench.current.step != UNTIL:
                assert time.monotonic() < end, f"stands at {session.bench.current}"
                captions.append(app.caption)
                await asyncio.sleep(0.05)
    finally:
        voice.close()
        lips.close()
        session.close()
    return speaker.played


def contains(whole: Sound, part: Sound) -> bool:
    """Whether the samples of one sound are in another."""
    sought = resampled(part, whole.rate).samples.tobytes()
    return sought in whole.samples.tobytes()


def test_what_is_said_in_the_new_language_is_entered(worked: Worked) -> None:
    words = {word for event in worked.said for word in (event.heard or "").split()}
    assert len(worked.said) >= 8
    assert words <= vocabulary("tq") | {"yes", "no"}
    assert len(words & vocabulary("tq")) >= 8


def test_the_record_tells_what_was_heard_and_what_was_spoken(worked: Worked) -> None:
    first = read(worked.folder / RECORD, EVENTS).lines[0].event
    assert isinstance(first, DayOpened)
    assert first.brought == {"tq": "sw"}
    session, _ = Session.open(worked.folder, "heron", demo_kit(), time.time)
    with session:
        day = session.bench.the_day
        assert (day.language, day.heard, day.voice) == ("sw", "tq", True)


def test_captions_and_prompts_are_in_swahili_but_what_was_recorded(worked: Worked) -> None:
    assert say("step-zero", "sw") in "\n".join(worked.captions)
    assert any(contains(sound, GREETING) for sound in worked.played)


def test_numbers_are_read_back_in_the_helper_s_own_words(worked: Worked) -> None:
    clips = worked.home / "helpers" / "amina" / "tq" / "clips"
    own = [trimmed(read_sound(clips / word / "1.flac")) for word in ("moja", "mbili", "tano", "hasi", "saba")]
    assert any(contains(sound, word) for sound in worked.played for word in own)


def test_a_trainer_sees_both_languages_and_hears_the_clips_again(worked: Worked) -> None:
    opened = open_session(worked.folder / RECORD)
    (row,) = rows(opened)
    viewing = Viewing.of(row, (), None, None)
    viewing.go(row.day.last)
    told = "\n".join(all_lines(viewing, 80, Glyphs.ASCII))
    assert "heard in tq" in told
    assert "said (sw):" in told
    ears = recognisers(worked.home, "amina")
    again = [one for moment in opened.timeline if (one := reheard(opened.path, moment, ears, asked))]
    assert len(again) == len([event for event in worked.said if event.clip])
    assert not any(one.trouble for one in again)


def test_where_the_language_is_not_known_the_record_is_shown_all_the_same(worked: Worked) -> None:
    with forgotten():
        opened = open_session(worked.folder / RECORD)
        assert opened.timeline[len(opened.timeline) - 1].after.the_day.heard == "tq"
        ears = recognisers(worked.home, "amina")
        again = [one for moment in opened.timeline if (one := reheard(opened.path, moment, ears, asked))]
        assert again
        assert all("language 'tq' is not known" in one.trouble for one in again)
