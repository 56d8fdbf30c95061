"""`assistant kit --left-in`: what a record says is left, as a kit that can be packed anew."""

from pathlib import Path

import pytest
from recorded import a_pair, begun, written

from assistant.bench.session import RECORD
from assistant.cli import main
from assistant.kit.kept import KEPT_FOLDER, keep_beside
from assistant.kit.load import BANK_FILE, KIT_FILE, load_kit
from assistant.kit.profile import Kit
from assistant.workflow.events import BankShared, Event, StockCounted
from assistant.workflow.steps import BY_ID

AT = 1_762_070_000.0


@pytest.fixture
def kit_folder(kit: Kit, demo: Kit, other_kit_folder: Path) -> Path | None:
    return None if kit is demo else other_kit_folder


def left_in(record_folder: Path, to: Path, *more: str) -> int:
    return main(["kit", *more, "--left-in", str(record_folder), "--out", str(to)])


def recorded(home: Path, kit_folder: Path | None, events: list[Event]) -> Path:
    """A bench's folder: this record, and its kit beside it."""
    folder = home / "heron"
    folder.mkdir()
    written(folder / RECORD, events)
    keep_beside(folder, kit_folder)
    return folder


def frames(kit: Kit) -> dict[float, int]:
    return {size.centre_distance_mm: sum(size.colours.values()) for size in kit.frames}


def test_what_went_with_a_wearer_is_gone_and_a_counted_pocket_holds_what_was_counted(
    tmp_path: Path, kit: Kit, kit_folder: Path | None, capsys: pytest.CaptureFixture[str]
) -> None:
    counted = int(kit.bank.pocket[3])
    events = [*a_pair(kit), StockCounted(at=AT + 9000, pocket=counted, count=17, counted_at=AT + 9000)]
    folder = recorded(tmp_path, kit_folder, events)
    assert left_in(folder, tmp_path / "new") == 0
    shown = capsys.readouterr()
    assert shown.err == ""
    assert "which colours went it does not know" in shown.out
    assert "a bench with another --name" in shown.out
    new = load_kit(tmp_path / "new", BY_ID)
    gone = (kit.bank.count - new.bank.count).tolist()
    assert gone.pop(3) == int(kit.bank.count[3]) - 17
    assert sorted(filter(None, gone)) in ([1, 1], [2])
    assert sum(frames(kit).values()) - sum(frames(new).values()) == 1
    assert f"frames: {', '.join(f'{mm:g} mm x {n}' for mm, n in frames(new).items())}" in shown.out


def test_a_bench_begun_with_what_is_left_knows_it(tmp_path: Path, kit: Kit, kit_folder: Path | None) -> None:
    """Packed anew from the packed-anew: what went with the second wearer goes off what the first left."""
    assert left_in(recorded(tmp_path, kit_folder, a_pair(kit)), tmp_path / "new") == 0
    new = load_kit(tmp_path / "new", BY_ID)
    again = tmp_path / "again"
    again.mkdir()
    assert left_in(recorded(again, tmp_path / "new", a_pair(new)), again / "new") == 0
    last = load_kit(again / "new", BY_ID)
    assert int(kit.bank.count.sum() - last.bank.count.sum()) == 4
    assert sum(frames(kit).values()) - sum(frames(last).values()) == 2


def test_what_other_benches_hold_is_taken_off_and_said(
    tmp_path: Path, kit: Kit, kit_folder: Path | None, capsys: pytest.CaptureFixture[str]
) -> None:
    row = int(kit.bank.count.argmax())
    shared = BankShared(at=AT + 9000, elsewhere={int(kit.bank.pocket[row]): 1})
    assert left_in(recorded(tmp_path, kit_folder, [*a_pair(kit), shared]), tmp_path / "new") == 0
    assert "lenses that other benches held" in capsys.readouterr().out
    new = load_kit(tmp_path / "new", BY_ID)
    assert int(kit.bank.count.sum() - new.bank.count.sum()) == 3
    assert new.bank.count[row] < kit.bank.count[row]


def test_a_kit_of_the_same_words_is_what_is_left_of_a_day_without_a_pair(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path
) -> None:
    folder = recorded(tmp_path, other_kit_folder, begun(other_kit, 1).events)
    assert left_in(folder, tmp_path / "new") == 0
    for name in (KIT_FILE, BANK_FILE):
        assert (tmp_path / "new" / name).read_bytes() == (other_kit_folder / name).read_bytes()


def test_a_pair_in_the_making_is_finished_first(
    tmp_path: Path, kit: Kit, kit_folder: Path | None, capsys: pytest.CaptureFixture[str]
) -> None:
    events = a_pair(kit)
    folder = recorded(tmp_path, kit_folder, events[:-1])
    assert left_in(folder, tmp_path / "new") == 2
    assert "case 201 is in the making at heron; finish it or give it up first" in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


def test_nothing_is_written_over(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = recorded(tmp_path, other_kit_folder, a_pair(other_kit))
    before = (folder / KEPT_FOLDER / BANK_FILE).read_bytes()
    assert left_in(folder, folder / KEPT_FOLDER) == 2
    assert "kit.toml is there already; give a folder without a kit" in capsys.readouterr().err
    assert (folder / KEPT_FOLDER / BANK_FILE).read_bytes() == before


def test_a_record_whose_kit_was_not_kept_is_read_with_the_one_named(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "heron"
    folder.mkdir()
    written(folder / RECORD, a_pair(other_kit))
    assert left_in(folder, tmp_path / "wrong") == 2
    assert "was made with another kit" in capsys.readouterr().err
    assert left_in(folder, tmp_path / "new", str(other_kit_folder)) == 0
    assert load_kit(tmp_path / "new").name == other_kit.name


def test_another_kit_than_the_one_kept_is_refused(
    tmp_path: Path, demo: Kit, other_kit_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = recorded(tmp_path, None, a_pair(demo))
    assert left_in(folder, tmp_path / "new", str(other_kit_folder)) == 2
    assert f"heron's record was begun with another kit, {folder / KEPT_FOLDER}" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--out", "new"), "go together"),
        (("--left-in", "heron"), "go together"),
        (("--left-in", "/nobody", "--out", "new"), "/nobody/record.jsonl"),
    ],
)
def test_what_cannot_be_used_is_one_line(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str
) -> None:
    assert main(["kit", *words]) == 2
    shown = capsys.readouterr()
    assert (shown.out, shown.err.count("\n")) == ("", 1)
    assert says in shown.err


def test_a_damaged_record_is_named(tmp_path: Path, demo: Kit, capsys: pytest.CaptureFixture[str]) -> None:
    folder = recorded(tmp_path, None, a_pair(demo))
    data = (folder / RECORD).read_bytes()
    (folder / RECORD).write_bytes(data[:200] + b"#" + data[201:])
    assert left_in(folder, tmp_path / "new") == 2
    assert "line 1" in capsys.readouterr().err
    assert not (tmp_path / "new").exists()
