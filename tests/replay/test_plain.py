"""Replay line by line: through a pipe as a program, and order by order."""

import io
import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from recorded import a_pair, written

from assistant.kit.profile import Kit
from assistant.practice.slips import Slip
from assistant.replay.listing import read_rows, session_files
from assistant.replay.plain import ORDERS, Plain
from assistant.replay.recheck import with_standard
from assistant.replay.rehear import Reheard
from assistant.replay.shelf import Outside, Shelf
from assistant.replay.viewing import Other
from assistant.speech.errors import SpeechError, Trouble
from assistant.speech.sound import Sound
from assistant.ui.glyphs import Glyphs

SHIPPED = Path(__file__).parents[2] / "demo_sessions"


class Speaker:
    """Keeps what it was given; without a device it refuses as the real one does."""

    def __init__(self, there: bool = True) -> None:
        self.there, self.played = there, list[Sound]()

    def play(self, sound: Sound, wanted: object) -> None:
        if not self.there:
            raise SpeechError(Trouble.SPEAKER_MISSING, "there is no speaker")
        self.played.append(sound)

    def cut(self) -> None:
        pass


class Trainer:
    """Gives orders to plain replay and reads the answers."""

    def __init__(self, folder: Path, other: Other | None = None, speaker: Speaker | None = None) -> None:
        self.slept = list[float]()
        self.speaker = speaker or Speaker()
        outside = Outside(
            lambda: 1_800_000_000.0, self.slept.append, self.speaker, self._hears, Glyphs.ASCII, 100
        )
        found = [row for _, rows in read_rows(session_files(folder)) for row in rows]
        self.shelf = Shelf(found, outside, None, other)

    @staticmethod
    def _hears(session: Path, moment: object) -> Reheard | None:
        return Reheard(18, "a.flac", "fifty", "50", "fifteen", "15", differs=True)

    def says(self, *orders: str, number: int | None = None) -> str:
        sink = io.StringIO()
        Plain(self.shelf, sink).run([f"{order}\n" for order in orders], number)
        return sink.getvalue()


@pytest.fixture
def folder(tmp_path: Path, demo: Kit) -> Path:
    written(tmp_path / "a-good.jsonl", a_pair(demo))
    written(tmp_path / "b-slot.jsonl", a_pair(demo, Slip.SLOT_ON_CENTRE_LINE), "crab")
    (tmp_path / "turtle").mkdir()
    written(tmp_path / "turtle" / "record.jsonl", a_pair(demo, Slip.PIN_SHORT), "turtle")
    return tmp_path


def assistant_replay(*words: str, orders: str, home: Path) -> subprocess.CompletedProcess[str]:
    """The program itself, its input a pipe."""
    return subprocess.run(
        [sys.executable, "-m", "assistant", "replay", *words, "--home", str(home)],
        input=orders,
        capture_output=True,
        text=True,
        timeout=120,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", "ASSISTANT_GLYPHS": "ascii"},
        check=False,
    )


def test_a_folder_through_a_pipe(tmp_path: Path) -> None:
    shown = assistant_replay(str(SHIPPED), orders="3\nm\nb\nq\n", home=tmp_path)
    assert (shown.returncode, shown.stderr) == (0, "")
    assert "03-slot-on-centre-line" in shown.stdout
    assert "[!!] did not pass, left eye: slot cut on the centre line" in shown.stdout
    assert "OUT of -2..+2" in shown.stdout


def test_one_file_opens_at_once_and_the_end_of_the_input_leaves(tmp_path: Path) -> None:
    session = shutil.copy(SHIPPED / "01-smooth-pair.jsonl", tmp_path)
    lines = len(Path(session).read_bytes().splitlines())
    shown = assistant_replay(str(session), "--plain", orders="\n" * (lines + 1), home=tmp_path / "home")
    assert shown.returncode == 0
    assert shown.stdout.count("  line ") == lines
    assert "that was the last step" in shown.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere"], "there is no such file or folder"),
        ([str(SHIPPED), "--kit", "nowhere"], "kit.toml: is not there; a kit is"),
        ([str(SHIPPED), "--standard", "none"], "standard 'none' is not known"),
        ([str(SHIPPED), "--model", str(SHIPPED)], "demo_sessions is no model that can be used"),
        ([str(SHIPPED), "--helper", "nobody"], "helper 'nobody' has no model of their own"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(words: list[str], said: str, tmp_path: Path) -> None:
    shown = assistant_replay(*words, orders="", home=tmp_path)
    assert shown.returncode == 2
    assert said in shown.stderr
    assert shown.stderr.count("\n") == 1


def test_the_list_names_outcome_length_and_mistakes(folder: Path) -> None:
    text = Trainer(folder).says("q")
    good, slot, short = text.splitlines()[:3]
    assert good.split()[:2] == ["1", "a-good"]
    assert good.endswith("no mistake  handed over")
    assert slot.endswith("1 mistake  handed over")
    assert short.split()[:2] == ["3", "turtle"]  # a bench's record goes by its folder
    assert short.endswith("1 mistake  handed over")


def test_a_damaged_session_is_named_in_the_list_and_shown_as_far_as_it_goes(folder: Path) -> None:
    lines = (folder / "a-good.jsonl").read_bytes().splitlines(keepends=True)
    (folder / "a-good.jsonl").write_bytes(b"".join([*lines[:20], b"?", *lines[20:]]))
    (folder / "c-empty.jsonl").write_bytes(b"")
    text = Trainer(folder).says("1", "g 20", "g 21", "l", "3", "4")
    assert (
        "[!!] line 21 is not as it was written; its check does not hold; the 20 lines before it are shown"
        in text
    )
    assert "20/20" in text
    assert "there is no line 21 here; allowed is a line from 1 to 20" in text
    assert "c-empty.jsonl: the file holds no line" in text


def test_on_back_and_to_mistakes(folder: Path) -> None:
    text = Trainer(folder).says("b", "n", "", "b", "m", "m", "M", "M", number=2)
    places = [line.split("/")[0] for line in text.splitlines() if "  line " in line and "/" in line[:6]]
    first, *rest = places
    assert first == "1"
    assert rest[:3] == ["2", "3", "2"]
    assert text.count("that was the first step") == 1
    assert text.count("no mistake after this") == 1
    assert text.count("no mistake before this") == 2


def test_playing_waits_by_the_record_s_own_times_and_stops_at_a_mistake(folder: Path) -> None:
    trainer = Trainer(folder)
    slow = trainer.says("p 1", number=2)
    assert "[!!] did not pass" in slow
    waits = list(trainer.slept)
    trainer.slept.clear()
    trainer.says("p 20", number=2)
    assert len(waits) == len(trainer.slept) > 20
    assert all(0.05 <= wait <= 8.0 for wait in waits)
    assert all(
        a == pytest.approx(b * 20, rel=1e-3)
        for a, b in zip(waits, trainer.slept, strict=True)
        if a < 8.0 and b > 0.05
    )
    assert "that was the last step" in trainer.says("p 20", "p 20", number=2)


@pytest.mark.parametrize("speed", ["0", "0.4", "21", "fast", "-1", "nan"])
def test_a_speed_out_of_bounds_is_refused(folder: Path, speed: str) -> None:
    assert "allowed is a number from 0.5 to 20" in Trainer(folder).says(f"p {speed}", number=1)


def test_notes_are_kept_beside_the_session_and_shown_again(folder: Path) -> None:
    before = (folder / "b-slot.jsonl").read_bytes()
    Trainer(folder).says("m", "w Look at the pin first.", number=2)
    text = Trainer(folder).says("m", "W", "w", "W", number=2)
    assert "note: Look at the pin first." in text
    assert "note taken away" in text
    assert text.endswith("no notes yet\n")
    assert (folder / "b-slot.jsonl").read_bytes() == before
    assert "note:" not in Trainer(folder).says("m", number=2)


def test_decided_differently_is_listed_and_gone_to(folder: Path) -> None:
    trainer = Trainer(folder, Other("the strict one", lambda kit: _strict(kit)))
    text = trainer.says("D", "d", "d", "d", number=1)
    assert "2 steps would be decided differently under the strict one" in text
    assert text.count("[<>] line ") == 2
    assert text.count("[<>] under the strict one, entry: was accepted; would be not accepted") == 2
    assert "nothing after this would be decided differently" in text
    assert "start with --kit FOLDER or --standard NAME" in Trainer(folder).says("D", number=1)


def test_who_opens_a_session_is_told_how_to_go_on(folder: Path) -> None:
    assert "an empty line goes on; ? lists the orders" in Trainer(folder).says(number=1)


def _strict(kit: Kit) -> Kit:
    return with_standard(replace(kit, slot=replace(kit.slot, least_depth_mm=1.39)), kit.standard)


def test_a_recording_is_played_or_its_lack_said(folder: Path) -> None:
    trainer = Trainer(SHIPPED)
    text = trainer.says("m", "c", "n", "h", "H", number=4)
    assert len(trainer.speaker.played) == 1
    assert 0.2 < trainer.speaker.played[0].seconds < 5.0
    assert 'DIFFERS: then "fifty", taken as 50; now "fifteen", taken as 15' in text
    assert "42 recordings: 42 differ (line 18, " in text
    assert "no sound: there is no speaker" in Trainer(SHIPPED, speaker=Speaker(there=False)).says(
        "m", "c", number=4
    )
    assert "nothing was recorded at this moment" in Trainer(folder).says("c", number=1)


def test_a_recording_that_is_gone_is_said(tmp_path: Path) -> None:
    shutil.copy(SHIPPED / "04-fifteen-for-fifty.jsonl", tmp_path)
    assert "the recording cannot be played" in Trainer(tmp_path).says("m", "c", number=1)


def test_every_order_is_in_the_help_and_others_are_refused(folder: Path) -> None:
    text = Trainer(folder).says("?", "x", "g one", "5", number=1)
    assert all(does in text for _, does in ORDERS)
    assert "'x' is no order" in text
    assert "line 'one' is no number" in text


def test_an_empty_folder_says_so(tmp_path: Path) -> None:
    assert Trainer(tmp_path).says("1") == (
        "there is no session here\nthere is no session 1; this folder holds none\n"
    )


def test_what_a_bench_recorded_with_its_own_kit_is_replayed_with_it(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path
) -> None:
    """Both programs, one after the other: the bench leaves its kit beside its record."""
    reference = other_kit.focimeter.reference
    day = [
        "1",
        "1",
        "-",
        "0",
        f"{reference.sphere:+.2f}",
        f"{reference.cylinder:+.2f}",
        f"{reference.axis:g}",
    ]
    bench = [sys.executable, "-m", "assistant", "bench", "--plain", "--name", "crab", "--home", str(tmp_path)]
    made = subprocess.run(
        [*bench, "--kit", str(other_kit_folder)],
        input="\n".join([*day, "180", "+"]) + "\n",
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (made.returncode, made.stderr) == (0, "")
    shown = subprocess.run(
        [sys.executable, "-m", "assistant", "replay", "--home", str(tmp_path)],
        input="1\ng 10\n",
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (shown.returncode, shown.stderr) == (0, "")
    assert f"kit {other_kit.name} ({tmp_path / 'crab' / 'kit'})" in shown.stdout
    assert "another kit" not in shown.stdout
    assert "now wanted: choice, choosing an order" in shown.stdout
