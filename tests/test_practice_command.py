"""`assistant practice` as a user meets it: what can be asked for, what is kept, what is refused."""

import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from pupil import at_work
from real_terminal import LEFT, needs_tmux, terminal

from assistant.cli import main
from assistant.commands.practice.choosing import pair_of
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.practice.slips import Slip
from assistant.replay.opening import open_session

SESSIONS = Path(__file__).parents[1] / "demo_sessions"


def entries(folder: Path, kit: Kit, plant: Slip | None, until: str = "score") -> str:
    """What a pupil keys in a practice with this mistake, found out by practising it."""
    pupil = at_work(folder, kit, plant)
    keyed: list[str] = []
    key = pupil.key

    def kept(text: str) -> None:
        keyed.append(text)
        key(text)

    pupil.key = kept  # type: ignore[method-assign]
    pupil.until(until)
    return "\n".join(keyed) + "\n"


def practise(home: Path, monkeypatch: pytest.MonkeyPatch, keyed: str, *words: str) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(keyed))
    return main(["practice", "--plain", "--home", str(home), "--seed", "3", *words])


def progress(home: Path) -> list[dict[str, object]]:
    return [json.loads(line) for line in (home / "practice" / "progress.jsonl").read_text().splitlines()]


def test_a_practice_from_start_to_score(
    tmp_path: Path, demo: Kit, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keyed = entries(tmp_path / "rehearsed", demo, Slip.TURNED_IN_RIM) + "-\n"
    home = tmp_path / "home"
    assert practise(home, monkeypatch, keyed, "--random", "--plant", "turned_in_rim", "--helper", "asha") == 0
    out = capsys.readouterr().out
    assert "[==] turned_in_rim first lenses 4 of 5" in out
    (line,) = progress(home)
    assert (line["helper"], line["mistake"], line["found"]) == ("asha", "turned_in_rim", "first")
    assert (line["lenses"], line["finished"]) == (4, True)
    assert sorted(path.name for path in home.iterdir()) == ["practice"]
    assert (home / "practice" / "asha" / "0001" / "record.jsonl").is_file()


def test_a_practice_with_a_kit_of_one_s_own_is_replayed_with_it(
    tmp_path: Path,
    other_kit: Kit,
    other_kit_folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    keyed = entries(tmp_path / "rehearsed", other_kit, Slip.TURNED_IN_RIM) + "-\n"
    words = ("--random", "--plant", "turned_in_rim", "--helper", "asha", "--kit", str(other_kit_folder))
    assert practise(tmp_path / "home", monkeypatch, keyed, *words) == 0
    opened = open_session(tmp_path / "home" / "practice" / "asha" / "0001" / "record.jsonl")
    assert (opened.timeline.kit.name, opened.troubles) == (other_kit.name, ())


def test_a_practice_that_is_left_is_kept_as_left(
    tmp_path: Path, demo: Kit, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keyed = entries(tmp_path / "rehearsed", demo, Slip.CHIPPED, until="dot")
    assert practise(tmp_path, monkeypatch, keyed, "--random", "--plant", "chipped") == 0
    (line,) = progress(tmp_path)
    assert (line["finished"], line["lenses"], line["mistake"]) == (False, 0, "chipped")
    capsys.readouterr()
    assert main(["practice", "--progress", "--home", str(tmp_path)]) == 0
    assert capsys.readouterr().out.splitlines()[1].split()[:3] == ["helper", "0", "1"]


def interrupted(keyed: str) -> Iterator[str]:
    """Somebody who keys these lines, then presses Ctrl+C."""
    yield from keyed.splitlines()
    raise KeyboardInterrupt


def test_ctrl_c_leaves_a_practice_and_it_is_kept_as_left(
    tmp_path: Path, demo: Kit, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keyed = interrupted(entries(tmp_path / "rehearsed", demo, Slip.CHIPPED, until="dot"))
    monkeypatch.setattr("sys.stdin", keyed)
    words = ["--random", "--plant", "chipped", "--seed", "3"]
    assert main(["practice", "--plain", "--home", str(tmp_path), *words]) == 0
    assert [line["finished"] for line in progress(tmp_path)] == [False]
    assert capsys.readouterr().err == ""


@needs_tmux
def test_ctrl_c_leaves_a_practice_on_the_screen(tmp_path: Path) -> None:
    words = ("practice", "--random", "--seed", "3", "--no-sound", "--home", str(tmp_path))
    with terminal(*words, columns=80, rows=24) as screen:
        assert "Choose the next order" in screen.shown("Ctrl+C leaves.")
        screen.press("C-c")
        screen.shown(LEFT)
    assert [line["finished"] for line in progress(tmp_path)] == [False]


def test_once_more_is_another_practice(
    tmp_path: Path, demo: Kit, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    keyed = entries(tmp_path / "rehearsed", demo, Slip.PIN_SHORT) + "+\n1\n"
    assert practise(tmp_path, monkeypatch, keyed, "--random", "--plant", "pin_short") == 0
    first, second = progress(tmp_path)
    assert [(line["seed"], line["finished"]) for line in (first, second)] == [(3, True), (4, False)]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "name a recorded session, or say --random, or --progress"),
        (("nowhere",), "session 'nowhere' is not a file and not the name of one in"),
        (
            ("--random", "--plant", "sneeze"),
            "mistake 'sneeze' cannot be planted; allowed are none, wrong_frame,",
        ),
        (("--random", "--helper", "../x"), "bench name '../x' cannot be used"),
        (("03-slot-on-centre-line", "--plant", "digits_confused"), "order on which digits_confused shows"),
        (("--random", "--kit", "/nowhere"), "/nowhere"),
    ],
)
def test_what_cannot_be_practised_is_said_in_one_line(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    words: tuple[str, ...],
    said: str,
) -> None:
    assert practise(tmp_path, monkeypatch, "", *words) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1


@pytest.mark.parametrize(
    ("name", "slip", "eye"),
    [
        ("01-smooth-pair", None, None),
        ("02-wrong-pocket", Slip.WRONG_POCKET, Eye.RIGHT),
        ("03-slot-on-centre-line", Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT),
        ("04-fifteen-for-fifty", Slip.SCALE_SET_WRONG, Eye.RIGHT),
        ("05-pin-too-short", Slip.PIN_SHORT, Eye.RIGHT),
        ("06-lenses-swapped", Slip.LENSES_SWAPPED, Eye.RIGHT),
        ("10-marked-face-down", Slip.MARKED_FACE_DOWN, Eye.RIGHT),
        ("11-lens-in-the-wrong-pocket", Slip.STRAY_LENS, Eye.RIGHT),
        ("15-turned-in-rim", Slip.TURNED_IN_RIM, Eye.RIGHT),
        ("17-chipped", Slip.CHIPPED, Eye.LEFT),
    ],
)
def test_a_session_gives_its_order_and_its_mistake(name: str, slip: Slip | None, eye: Eye | None) -> None:
    order, found, side = pair_of(SESSIONS / f"{name}.jsonl")
    assert order.right.power is not None
    assert (found, side) == (slip, eye)


def test_a_session_can_be_practised(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert practise(tmp_path, monkeypatch, "1\n", "15-turned-in-rim", "--language", "sw") == 0
    assert "Chukua fremu" in capsys.readouterr().out
    assert progress(tmp_path)[0]["pair"] == "15-turned-in-rim"
