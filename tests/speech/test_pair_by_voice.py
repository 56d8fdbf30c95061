"""A pair made by voice alone: real prompts, real read-backs, real vosk with the shipped models, a virtual card.

The suite goes from the order to the lens on the focimeter in English; `WHOLE_PAIRS=1` makes whole pairs in all four
languages (it takes real time, some minutes a language).
"""

import os
from pathlib import Path

import pytest
from benches import opened
from person import Person
from virtual_sound import VirtualSound

from assistant.bench.session import RECORD
from assistant.journal.events import EVENTS
from assistant.journal.file import read
from assistant.language.lexicon import LANGUAGES
from assistant.language.prompts import Talk
from assistant.speech.equipment import parts
from assistant.speech.synth import Synthesiser
from assistant.speech.voice import Voice
from assistant.workflow.events import Answered, Source

WHOLE = os.environ.get("WHOLE_PAIRS") == "1"


@pytest.mark.parametrize("language", LANGUAGES if WHOLE else ("en",))
async def test_by_voice_alone(
    language: str, card: VirtualSound, synthesiser: Synthesiser, tmp_path: Path
) -> None:
    voice = Voice(parts(tmp_path / "home", tmp_path))
    try:
        app = opened(tmp_path, voice=voice, talk=Talk.TERSE)
        person = Person(card, synthesiser, voice, language)
        async with app.run_test(size=(80, 24)) as pilot:
            await person.make_pair(app, pilot, until="hand_over" if WHOLE else "dot")
    finally:
        voice.close()
    print(f"{language}: {person.entries} entries, {person.tries} tries")
    lines = read(tmp_path / RECORD, EVENTS).lines
    said = [
        line.event for line in lines if isinstance(line.event, Answered) and line.event.source is Source.VOICE
    ]
    assert len(said) == person.entries
    assert all(event.heard for event in said)
    assert len(list((tmp_path / "clips").glob("*.flac"))) >= 1
