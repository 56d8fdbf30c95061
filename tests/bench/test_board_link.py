"""Pairing: what is keyed, what is kept, and every reason why there is no board, each one sentence."""

import io
import json
import stat
import time
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

import pytest
from boards import free_port
from served import Served, served

from assistant.bench.board_link import ASK, Board, board_of, keyed_codes
from assistant.bench.tail import Tail
from assistant.bench.uplink import Uplink
from assistant.commands.bench import _codes
from assistant.hub.certificate import own_certificate
from assistant.hub.client import load_pairing
from assistant.journal.events import EVENTS
from assistant.journal.file import Journal
from assistant.kit.profile import Kit
from assistant.workflow.events import AskedAgain, SupervisorAnswered


@pytest.fixture
def hub(tmp_path: Path, demo: Kit) -> Iterator[Served]:
    with served(tmp_path / "hub.db", demo) as there:
        yield there


def board(folder: Path, kit: Kit, address: str | None, codes: Sequence[str] | None = None) -> Board:
    found = board_of(folder, "heron", kit, address, codes)
    assert found.trouble.count("\n") == 0
    return found


def test_a_pairing_is_kept_for_nobody_else_to_read(tmp_path: Path, demo: Kit, hub: Served) -> None:
    first = board(tmp_path, demo, hub.address, [hub.door.code])
    assert first.trouble == ""
    kept = tmp_path / "board.json"
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert board(tmp_path, demo, None).pairing == first.pairing
    assert hub.door.bench_of(json.loads(kept.read_bytes())["token"]) == "heron"


def test_no_board_asked_for_is_no_trouble(tmp_path: Path, demo: Kit) -> None:
    assert board(tmp_path, demo, None) == Board(tmp_path)
    assert not board(tmp_path, demo, None).wanted


def test_a_board_that_moved_keeps_its_pairing(tmp_path: Path, demo: Kit, hub: Served) -> None:
    token = board(tmp_path, demo, hub.address, [hub.door.code]).pairing
    moved = board(tmp_path, demo, "10.1.2.3:900").pairing
    assert token is not None
    assert moved is not None
    assert (moved.address, moved.token) == ("http://10.1.2.3:900", token.token)
    assert board(tmp_path, demo, None).pairing == moved


@pytest.mark.parametrize(
    ("address", "codes", "says"),
    [
        ("nowhere:0", ["123456"], "'nowhere:0' cannot be used; allowed is host"),
        ("ftp://boat", ["123456"], "'ftp://boat' cannot be used; allowed is host"),
        ("no such host", ["123456"], "'no such host' cannot be used; allowed is host"),
        (None, ["123456"], "--pair needs --board ADDRESS"),
        ("DEAD", ["123456"], "was not reached"),
        ("HUB", ["12345"], "pairing code '12345' cannot be used; allowed are six digits"),
        ("HUB", ["１２３４５６"], "allowed are six digits"),
        ("HUB", ["wrong"], "allowed are six digits"),
        ("HUB", ["WRONG"], "is not the one that the board shows"),
        ("HUB", [], "no code was keyed"),
        ("HUB", None, "start it with --pair"),
    ],
)
def test_without_a_board_the_reason_is_one_sentence_and_the_bench_works_alone(
    tmp_path: Path, demo: Kit, hub: Served, address: str | None, codes: list[str] | None, says: str
) -> None:
    wrong = f"{(int(hub.door.code) + 1) % 10**6:06d}"
    address = {"HUB": hub.address, "DEAD": f"127.0.0.1:{free_port()}"}.get(address or "", address)
    found = board(tmp_path, demo, address, codes and [wrong if code == "WRONG" else code for code in codes])
    assert found.pairing is None
    assert says in found.trouble
    assert found.trouble.endswith("; the bench works alone")
    assert found.wanted


def test_another_kit_than_the_board_s_is_refused(
    tmp_path: Path, demo: Kit, other_kit: Kit, hub: Served
) -> None:
    assert "works with another kit" in board(tmp_path, other_kit, hub.address, [hub.door.code]).trouble


def test_a_pairing_that_fails_leaves_the_one_that_is_kept(tmp_path: Path, demo: Kit, hub: Served) -> None:
    kept = board(tmp_path, demo, hub.address, [hub.door.code]).pairing
    again = board(tmp_path, demo, f"127.0.0.1:{free_port()}", ["123456"])
    assert again.pairing == kept
    assert again.trouble.endswith(f"the bench keeps to the board at {hub.address}")


@pytest.mark.parametrize(
    "data", [b"", b"{", b"[]", b'{"address":1}', b"\xff\xfe", b'{"address":"a","token":"b","x":1}']
)
def test_a_torn_pairing_is_named(tmp_path: Path, demo: Kit, data: bytes) -> None:
    (tmp_path / "board.json").write_bytes(data)
    found = board(tmp_path, demo, None)
    assert "board.json is no pairing" in found.trouble
    assert "pair the bench again" in found.trouble


def test_five_wrong_codes_and_the_board_waits(tmp_path: Path, demo: Kit, hub: Served) -> None:
    wrong = f"{(int(hub.door.code) + 1) % 10**6:06d}"
    assert "wait" in board(tmp_path, demo, hub.address, [wrong] * 6).trouble
    assert "wait" in board(tmp_path, demo, hub.address, [hub.door.code]).trouble


def test_codes_are_keyed_until_one_is_right(tmp_path: Path, demo: Kit, hub: Served) -> None:
    sink = io.StringIO()
    source = io.StringIO(f"000\n{hub.door.code}\n1\n")
    codes = keyed_codes(source, sink)
    assert board_of(tmp_path, "heron", demo, hub.address, codes).trouble == ""
    assert sink.getvalue().splitlines() == [
        "board code >",
        "this is not the code on the board",
        "board code >",
    ]
    assert source.read() == "1\n"  # what comes after belongs to the bench


def test_codes_from_the_command_line() -> None:
    assert _codes(None, io.StringIO()) is None
    assert _codes("123456", io.StringIO()) == ("123456",)
    assert list(_codes(ASK, io.StringIO("5\n\n6\n")) or ()) == ["5"]


def test_the_tail_follows_whole_lines_with_whatever_is_in_them(tmp_path: Path) -> None:
    record = tmp_path / "record.jsonl"
    tail = Tail(record)
    assert tail.have() == 0
    with Journal.open(record, EVENTS, "heron").journal as journal:
        reason = "one\u2028two\u0085three\x1cfour"
        journal.append(SupervisorAnswered(at=1.0, yes=True, code="4071", reason=reason))
        for at in range(5):
            journal.append(AskedAgain(at=float(at)))
        assert tail.have() == 6
        sent = tail.lines(1, 100, 1_000_000)
        assert "".join(f"{line}\n" for line in sent).encode() == record.read_bytes()
        assert tail.lines(3, 2, 1_000_000) == sent[2:4]
        assert tail.lines(2, 100, 1) == sent[1:2]
        assert tail.lines(7, 100, 1_000_000) == []
        # a line that is being written is not there yet
        with record.open("ab") as torn:
            torn.write(b'{"half')
        assert tail.have() == 6
        record.with_name("record.jsonl.head").write_bytes(b"being written")
        assert tail.have() == 6


def test_over_tls_a_board_that_says_it_is_elsewhere_in_the_open_is_not_told_the_token(
    tmp_path: Path, demo: Kit
) -> None:
    pytest.importorskip("cryptography")
    with served(tmp_path / "hub.db", demo, certificate=own_certificate(tmp_path)) as hub:
        board(tmp_path, demo, hub.address, [hub.door.code])
        said = board(tmp_path, demo, "http://10.1.2.3:900")
        assert "allowed is https://host:port, or pair it again" in said.trouble
        assert board(tmp_path, demo, None).pairing == load_pairing(tmp_path)
        kept = load_pairing(tmp_path)
        assert kept is not None
        asked = list[str]()

        def look(besides: Collection[str]) -> str | None:
            asked.append(", ".join(besides))
            return "http://10.1.2.3:900"

    uplink = Uplink(tmp_path / "none", kept, "0" * 32, time.time, lambda mail: None, look)
    uplink._find_anew()
    uplink._find_anew()
    assert asked == ["", "http://10.1.2.3:900"]
    assert uplink._pairing == kept


def test_over_tls_the_fingerprint_is_told_once(tmp_path: Path, demo: Kit) -> None:
    pytest.importorskip("cryptography")
    with served(tmp_path / "hub.db", demo, certificate=own_certificate(tmp_path)) as hub:
        first = board(tmp_path, demo, hub.address, [hub.door.code])
        assert own_certificate(tmp_path).fingerprint in first.told
        assert board(tmp_path, demo, None).told == ""
