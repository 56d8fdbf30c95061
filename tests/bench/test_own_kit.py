"""A record goes on with the kit it was begun with; another is refused before anything is touched."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from served import served

from assistant.bench.session import RECORD, Session
from assistant.cli import main
from assistant.commands.demonstration import record_name
from assistant.commands.own_kit import OwnKitError, goes_on, kept, require_own
from assistant.hub.protocol import kit_mark
from assistant.kit.kept import KEPT_FOLDER, kept_beside
from assistant.kit.load import BANK_FILE, KIT_FILE, demo_folder, load_kit
from assistant.kit.profile import Kit
from assistant.workflow.steps import BY_ID

DAY = "2026-11-02"


def begin(folder: Path, kit: Kit, kit_folder: Path | None) -> None:
    """A record of one line, with its kit beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    with Session.open(folder, folder.name, kit, lambda: 1_762_000_000.0)[0] as session:
        assert kept(folder, kit_folder) == ""
        session.begin_day(DAY)


def everything(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def bench(home: Path, *options: str) -> "subprocess.CompletedProcess[str]":
    command = [sys.executable, "-m", "assistant", "bench", "--plain", "--home", str(home), *options]
    return subprocess.run(
        command, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120, check=False
    )


@pytest.fixture
def packed_anew(tmp_path: Path, other_kit_folder: Path) -> Path:
    """The second kit with one lens less in its first pocket."""
    folder = Path(shutil.copytree(other_kit_folder, tmp_path / "anew"))
    heading, first, *rest = (folder / BANK_FILE).read_text().splitlines()
    cells = first.split(",")
    count = heading.split(",").index("count")
    cells[count] = str(int(cells[count]) - 1)
    (folder / BANK_FILE).write_text("\n".join([heading, ",".join(cells), *rest]))
    return folder


def test_one_lens_less_in_one_pocket_is_another_kit(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path, packed_anew: Path
) -> None:
    folder = tmp_path / "heron"
    begin(folder, other_kit, other_kit_folder)
    require_own(folder, other_kit)
    with pytest.raises(OwnKitError, match="heron's record goes on with the kit it was begun with") as refusal:
        require_own(folder, load_kit(packed_anew, BY_ID))
    assert f"(--kit {folder / KEPT_FOLDER})" in str(refusal.value)
    assert "give another --name" in str(refusal.value)


def test_a_comment_makes_no_other_kit(tmp_path: Path, other_kit: Kit, other_kit_folder: Path) -> None:
    folder = tmp_path / "heron"
    begin(folder, other_kit, other_kit_folder)
    with (folder / KEPT_FOLDER / KIT_FILE).open("a") as file:
        file.write("\n# packed on the quay\n")
    assert goes_on(folder, other_kit)


def test_the_demonstration_kit_is_another_than_one_s_own(
    tmp_path: Path, demo: Kit, other_kit: Kit, other_kit_folder: Path
) -> None:
    begin(tmp_path / "heron", other_kit, other_kit_folder)
    begin(tmp_path / "crab", demo, None)
    assert not goes_on(tmp_path / "heron", demo)
    assert not goes_on(tmp_path / "crab", other_kit)
    assert goes_on(tmp_path / "crab", demo)


def test_a_record_without_a_line_or_without_its_kit_takes_any(
    tmp_path: Path, demo: Kit, other_kit: Kit, other_kit_folder: Path
) -> None:
    folder = tmp_path / "heron"
    assert goes_on(folder, demo)
    begin(folder, other_kit, other_kit_folder)
    shutil.rmtree(folder / KEPT_FOLDER)
    assert goes_on(folder, other_kit)
    begin(tmp_path / "crab", demo, None)
    (tmp_path / "crab" / RECORD).write_bytes(b"")
    assert goes_on(tmp_path / "crab", other_kit)


def test_a_kept_kit_that_cannot_be_read_is_named(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path
) -> None:
    folder = tmp_path / "heron"
    begin(folder, other_kit, other_kit_folder)
    (folder / KEPT_FOLDER / BANK_FILE).write_text("")
    with pytest.raises(OwnKitError, match=r"heron/kit cannot be read: bank\.csv.*move that folder away"):
        require_own(folder, other_kit)


def test_the_command_refuses_in_one_sentence_and_touches_nothing(
    tmp_path: Path,
    other_kit: Kit,
    other_kit_folder: Path,
    packed_anew: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    home = tmp_path / "home"
    begin(home / "heron", other_kit, other_kit_folder)
    with (home / "heron" / RECORD).open("ab") as record:
        record.write(b'{"schema":1')  # a torn tail, which opening would cut
    before = everything(home)
    for options in ((), ("--kit", str(packed_anew))):
        assert main(["bench", "--plain", "--home", str(home), "--name", "heron", *options]) == 2
        shown = capsys.readouterr()
        assert shown.out == ""
        assert shown.err.startswith("assistant bench: heron's record goes on with the kit")
        assert shown.err.count("\n") == 1
    assert everything(home) == before


def test_a_record_of_a_time_before_kits_were_kept_goes_on_and_its_kit_is_kept(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path
) -> None:
    begin(tmp_path / "heron", other_kit, other_kit_folder)
    shutil.rmtree(tmp_path / "heron" / KEPT_FOLDER)
    done = bench(tmp_path, "--name", "heron", "--kit", str(other_kit_folder))
    assert (done.returncode, done.stderr) == (0, "")
    found = kept_beside(tmp_path / "heron")
    assert found is not None
    assert kit_mark(load_kit(found)) == kit_mark(other_kit)


def test_it_goes_on_with_the_kit_that_is_kept_beside_it(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path
) -> None:
    begin(tmp_path / "heron", other_kit, other_kit_folder)
    done = bench(tmp_path, "--name", "heron", "--kit", str(tmp_path / "heron" / KEPT_FOLDER))
    assert (done.returncode, done.stderr) == (0, "")


def test_under_a_new_name_it_pairs_anew_and_a_refused_start_spends_no_code(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path, packed_anew: Path
) -> None:
    begin(tmp_path / "home" / "heron", other_kit, other_kit_folder)
    new = load_kit(packed_anew, BY_ID)
    with served(tmp_path / "hub.db", new) as board:
        code = board.door.code
        paired = ("--kit", str(packed_anew), "--board", board.address, "--pair", code)
        refused = bench(tmp_path / "home", "--name", "heron", *paired)
        assert (refused.returncode, board.door.code) == (2, code)
        done = bench(tmp_path / "home", "--name", "heron-2", *paired)
        assert (done.returncode, done.stderr) == (0, "")
        assert board.door.code != code
        assert list(board.call(lambda: board.hub.stories)) == ["heron-2"]
        known = board.call(lambda: board.hub.stories["heron-2"])
        assert known.seq == len((tmp_path / "home" / "heron-2" / RECORD).read_bytes().splitlines()) > 0


def test_by_hand_a_demonstration_of_another_kit_is_not_gone_on_with(
    tmp_path: Path, demo: Kit, other_kit: Kit, other_kit_folder: Path
) -> None:
    begin(tmp_path / "heron-demo", demo, None)
    assert record_name(tmp_path, "heron", False, demo) == "heron-demo"
    assert record_name(tmp_path, "heron", False, other_kit) == "heron-demo-2"
    begin(tmp_path / "heron-demo-2", other_kit, other_kit_folder)
    assert record_name(tmp_path, "heron", False, other_kit) == "heron-demo-2"
    assert record_name(tmp_path, "heron", False, demo) == "heron-demo-3"


def test_a_copy_of_the_demonstration_kit_is_the_same_kit(tmp_path: Path, demo: Kit) -> None:
    begin(tmp_path / "heron", demo, None)
    with demo_folder() as folder:
        assert goes_on(tmp_path / "heron", load_kit(folder, BY_ID))
