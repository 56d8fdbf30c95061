"""The spoken game: its order, what is asked again, wishes, going on where it stopped, and what is kept of the fit."""

import io
import itertools
import threading
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from scripted_sound import ScriptedMicrophone, ScriptedSpeaker
from textual.worker import WorkerFailed
from virtual_sound import VirtualSound

from assistant.commands.voice.enrol import clips_in
from assistant.commands.voice.game_picture import word_picture
from assistant.commands.voice.game_plain import PlainView
from assistant.commands.voice.game_screen import GameApp
from assistant.commands.voice.lesson import Enrolment, Lesson
from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import Listening
from assistant.language.phrases import vocabulary
from assistant.speech import own_model
from assistant.speech.comparison import Compared, Tally, folds
from assistant.speech.enrolment import Clip, Fit
from assistant.speech.enrolment_game import CLIPS, TAKES, Turn, Verdict, Wish, judged, turns
from assistant.speech.equipment import recognisers
from assistant.speech.errors import SpeechError
from assistant.speech.level import measure
from assistant.speech.model_folder import number_model
from assistant.speech.pack import Pack
from assistant.speech.segment import loudness_detector
from assistant.speech.sound import Sound, read_sound
from assistant.speech.studio import Studio
from assistant.speech.synth import Synthesiser
from assistant.speech.understanding import Asked, understand
from assistant.ui.canvas import draw
from assistant.ui.glyphs import Glyphs

QUICK = Fit(rounds=1, each_round=2)
WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def own_language(_clips: Sequence[Clip], _draft: Path) -> Path:
    return number_model("en")


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fit that only shows that it runs: what a whole one gains is measured in tests/benchmarks/enrolment.py."""

    enrol = partial(own_model.enrol, how=QUICK)
    monkeypatch.setattr("assistant.speech.comparison.STRINGS", 2)
    monkeypatch.setattr("assistant.commands.voice.lesson.enrol", enrol)


Given = Callable[..., tuple[Lesson, ScriptedSpeaker]]


@pytest.fixture
def lesson(tmp_path: Path, synthesiser: Synthesiser) -> Given:
    """A lesson whose helper says these things, with and without a speaker."""

    def made(*said: Sound, unplugged: bool = False) -> tuple[Lesson, ScriptedSpeaker]:
        speaker = ScriptedSpeaker()
        microphone = ScriptedMicrophone(*said, unplugged_at_end=unplugged)
        studio = Studio(synthesiser, Pack(tmp_path / "pack"), "en", speaker, microphone, loudness_detector)
        of = Enrolment("amina", "en", own_language, tmp_path / "own", "en")
        return Lesson(of, studio, lambda folder: clips_in(folder, vocabulary("en"))), speaker

    return made


def view(*wishes: str) -> tuple[PlainView, io.StringIO]:
    sink = io.StringIO()
    return PlainView(wishes, sink), sink


def said(synthesiser: Synthesiser, wanted: tuple[Turn, ...]) -> Iterator[Sound]:
    return (synthesiser.render(turn.word, "en") for turn in wanted)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_digit_and_command_comes_three_times_in_mixed_order(language: str, tmp_path: Path) -> None:
    wanted = turns(language, tmp_path)
    assert len(wanted) == len({turn.path for turn in wanted}) == 16 * TAKES
    assert all(first.word != second.word for first, second in itertools.pairwise(wanted))
    firsts, seconds = wanted[:16], wanted[16:32]
    assert {turn.word for turn in firsts} == {turn.word for turn in seconds}
    assert [turn.word for turn in firsts] != [turn.word for turn in seconds]
    assert wanted == turns(language, tmp_path)


def test_the_whole_game_then_the_fit(
    lesson: Given, quick: None, tmp_path: Path, synthesiser: Synthesiser
) -> None:
    wanted = turns("en", tmp_path / "own" / CLIPS)
    plain, sink = view()
    given, speaker = lesson(*said(synthesiser, wanted))
    sentence = given.give(plain)
    assert all(turn.path.is_file() for turn in wanted)
    assert "the shared model understood" in sentence
    assert "amina: of 54 answers held back" in sentence
    text = sink.getvalue()
    assert text.count("[ok]") == 48 + ("kept, fitted to 48 recordings" in sentence)
    assert "[48 / 48]" in text
    assert "[####################]" in text
    assert len(speaker.played) > 3 * 48  # word, tone, tone
    assert (tmp_path / "own" / "am" / "final.mdl").is_file() == ("is kept" in sentence)
    assert not list(tmp_path.glob(".fit-*"))


def test_it_goes_on_where_the_microphone_was_unplugged(
    lesson: Given, tmp_path: Path, synthesiser: Synthesiser
) -> None:
    wanted = turns("en", tmp_path / "own" / CLIPS)
    given, _ = lesson(*said(synthesiser, wanted[:4]), unplugged=True)
    with pytest.raises(SpeechError, match="unplugged"):
        given.give(view()[0])
    assert turns("en", tmp_path / "own" / CLIPS) == wanted[3:]
    assert read_sound(wanted[0].path).seconds > 0.3


def test_nobody_there_ends_the_game(lesson: Given, tmp_path: Path) -> None:
    given, _ = lesson()
    plain, sink = view()
    assert given.give(plain) == (
        "nobody was heard; look at the microphone; 0 words recorded, 48 are left;"
        " start again and it goes on from there"
    )
    assert sink.getvalue().count("I heard nothing") == 9


def test_a_bad_recording_is_asked_again_and_says_why(
    lesson: Given, tmp_path: Path, synthesiser: Synthesiser
) -> None:
    wanted = turns("en", tmp_path / "own" / CLIPS)
    word = synthesiser.render(wanted[0].word, "en")
    loud = Sound(np.clip(word.samples.astype(np.int32) * 40, -32768, 32767).astype(np.int16), word.rate)
    given, _ = lesson(loud, word, word, unplugged=True)
    plain, sink = view()
    with pytest.raises(SpeechError):
        given.give(plain)
    assert "[!!]\nToo loud. Move back a little, please." in sink.getvalue()
    assert wanted[0].path.is_file()


def test_verdicts() -> None:
    rng = np.random.default_rng(1)

    def clip(height: float, hiss: float, seconds: float = 1.5) -> Sound:
        at = np.arange(round(seconds * 16000)) / 16000
        word = height * np.sin(2 * np.pi * 300 * at) * (np.abs(at - seconds / 2) < seconds / 6)
        noisy = word + rng.normal(0, hiss, len(at))
        return Sound(np.clip(noisy, -32768, 32767).astype(np.int16), 16000)

    assert judged(clip(8000, 20)) is Verdict.GOOD
    assert judged(clip(60, 2)) is Verdict.TOO_QUIET
    assert judged(clip(90000, 20)) is Verdict.TOO_LOUD
    assert judged(clip(5000, 4000)) is Verdict.NOISY
    assert judged(clip(8000, 20, 4.0)) is Verdict.TOO_LONG


def test_wishes_by_key(lesson: Given, tmp_path: Path, synthesiser: Synthesiser) -> None:
    """The last word is played, then said again; then the game is stopped."""
    wanted = turns("en", tmp_path / "own" / CLIPS)
    plain, sink = view()
    given, speaker = lesson(*said(synthesiser, (wanted[0], wanted[0], wanted[1])))
    told = sink.write
    keys = iter(((2, "*"), (2, "<"), (4, "q")))
    coming = next(keys)

    def write(text: str) -> int:
        """Press a key after so many words were asked for."""
        nonlocal coming
        while coming and sink.getvalue().count(" / 48]") >= coming[0]:
            plain._read([coming[1]])
            coming = next(keys, (99, ""))
        return told(text)

    sink.write = write  # type: ignore[method-assign]
    sentence = given.give(plain)
    asked = [line for line in sink.getvalue().splitlines() if line.startswith("[") and " / 48]" in line]
    assert asked[0] == f"[1 / 48] {wanted[0].word}"
    assert f"[1 / 48] {wanted[0].word}" in asked[1:]  # said again
    heard = read_sound(wanted[0].path).seconds
    assert any(abs(sound.seconds - heard) < 0.5 and sound.rate == 16000 for sound in speaker.played)
    assert "are left; start again" in sentence


def test_the_fit_needs_every_word_twice() -> None:
    silence = Sound(np.zeros(8000, np.int16), 8000)
    clips = [Clip(silence, (word,)) for word in ("one", "two", "one", "two", "one", "one")]
    assert [(len(to), len(held)) for to, held in folds(clips)] == [(3, 3), (4, 2), (5, 1)]
    with pytest.raises(ValueError, match="no word was recorded twice"):
        folds(clips[:2])


def test_a_worse_model_is_not_kept_and_an_older_one_stays(
    tmp_path: Path, synthesiser: Synthesiser, monkeypatch: pytest.MonkeyPatch
) -> None:
    clips = [Clip(synthesiser.render(word, "en"), (word,)) for word in WORDS for _ in range(2)]
    own = tmp_path / "amina" / "en"
    (own / "am").mkdir(parents=True)
    (own / "am" / "final.mdl").write_text("an older one")
    ruined = Fit(rounds=2, each_round=1, rate=0.5)
    outcome = own_model.enrol(own_language, "en", clips, own, lambda *_: None, ruined)
    assert outcome.compared.worse
    assert not outcome.kept
    assert "it is worse and was not kept" in outcome.sentence
    assert (own / "am" / "final.mdl").read_text() == "an older one"


def test_a_model_that_is_not_worse_is_kept(tmp_path: Path, synthesiser: Synthesiser) -> None:
    clips = [Clip(synthesiser.render(word, "en"), (word,)) for word in WORDS for _ in range(2)]
    steps: list[tuple[int, int]] = []
    outcome = own_model.enrol(
        own_language, "en", clips, tmp_path / "en", lambda *step: steps.append(step), QUICK
    )
    assert outcome.compared.fitted.of == 2 * (10 + 20)
    assert outcome.kept
    assert steps == [(1, 3), (2, 3), (3, 3)]
    assert (tmp_path / "en" / "am" / "final.mdl").stat().st_size > 1_000_000


def test_a_wrong_answer_that_passes_weighs_twice() -> None:
    asked_again, passed = Tally(right=8, wrong=0, of=10), Tally(right=8, wrong=1, of=10)
    assert Compared(shared=asked_again, fitted=passed).worse
    assert Compared(shared=passed, fitted=asked_again).better


@pytest.mark.parametrize("glyphs", Glyphs)
def test_every_word_has_its_own_picture(glyphs: Glyphs, tmp_path: Path) -> None:
    first = turns("en", tmp_path)[:16]
    drawn = {draw(word_picture(turn, listening=True), 60, 12, glyphs) for turn in first}
    bare = {"".join(cell.char for row in cells for cell in row) for cells in drawn}
    assert len(bare) == 16  # by shape alone
    assert {turn.kind for turn in first} == {Listening.DIGIT, Listening.COMMANDS}


async def test_the_screen_shows_the_word_and_its_sign(
    lesson: Given, quick: None, tmp_path: Path, synthesiser: Synthesiser
) -> None:
    wanted = turns("en", tmp_path / "own" / CLIPS)
    given, _ = lesson(*said(synthesiser, wanted))
    app = GameApp(given.give, Glyphs.SIXTEEN)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
    assert app.failure is None
    assert app.return_value is not None
    assert "amina: of 54 answers" in app.return_value


async def test_the_screen_gives_on_what_went_wrong(lesson: Given, synthesiser: Synthesiser) -> None:
    given, _ = lesson(unplugged=True)
    app = GameApp(given.give, Glyphs.ASCII)
    async with app.run_test(size=(80, 24)) as pilot:
        with pytest.raises(WorkerFailed):
            await app.workers.wait_for_complete()
        await pilot.pause()
    assert isinstance(app.failure, SpeechError)


def test_through_a_virtual_card(card: VirtualSound, tmp_path: Path, synthesiser: Synthesiser) -> None:
    """Prompts into its speaker, words into its microphone, in real time: the first words, then stopped."""
    studio = Studio(synthesiser, Pack(tmp_path / "pack"), "en")
    lesson = Lesson(
        Enrolment("amina", "en", own_language, tmp_path / "own", "en"),
        studio,
        lambda folder: clips_in(folder, vocabulary("en")),
    )
    seen = Person(card, synthesiser, words=3)
    with card.recorded() as played:
        sentence = lesson.give(seen)
    assert "3 words recorded, 45 are left" in sentence
    asked = Asked(Listening.DIGIT, "en")
    hears = recognisers(tmp_path)
    for turn in turns("en", tmp_path)[:3]:
        clip = read_sound(tmp_path / "own" / CLIPS / turn.word / "1.flac")
        context = asked if turn.kind is Listening.DIGIT else Asked(Listening.COMMANDS, "en")
        assert understand(hears(context).recognise(clip), context).words == turn.word
    assert measure(played[0]).speech_db > -40  # it was spoken to


class Person(PlainView):
    """Says each word once it is listened for; stops after so many."""

    def __init__(self, card: VirtualSound, synthesiser: Synthesiser, words: int) -> None:
        super().__init__((), io.StringIO())
        self._card, self._synthesiser, self._left = card, synthesiser, words
        self._word = ""

    def ask(self, turn: Turn, done: int, of: int) -> None:
        self._word = turn.word

    def listening(self) -> None:
        sound = self._synthesiser.render(self._word, "en")
        threading.Timer(0.4, self._card.speak, (sound,)).start()

    def tell(self, verdict: Verdict | None) -> None:
        if verdict is Verdict.GOOD:
            self._left -= 1

    def wish(self) -> Wish | None:
        return None if self._left else Wish.STOP
