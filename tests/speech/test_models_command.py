"""Models from elsewhere: fetched over a server that cuts, imported from good and bad zips, chosen, and listened with.

The models are made here (runtime_model): no official one is on this machine.
"""

import hashlib
import itertools
import json
import shutil
import stat
import threading
import zipfile
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar

import pytest
from runtime_model import runtime_model

from assistant.cli import main
from assistant.language.grammar import phrases
from assistant.language.lexicon import LANGUAGES
from assistant.language.listening import CONTEXTS, Listening
from assistant.language.phrases import graph
from assistant.speech.equipment import recognisers
from assistant.speech.errors import SpeechError
from assistant.speech.fetching import FetchError, fetch
from assistant.speech.model_folder import number_model
from assistant.speech.model_zip import import_zip
from assistant.speech.recogniser import VoskRecogniser
from assistant.speech.runtime_grammar import covering
from assistant.speech.synth import Synthesiser
from assistant.speech.trial import trial
from assistant.speech.understanding import Asked, understand

NAME = "vosk-model-small-en-test-0.1"


def zipped(folder: Path, path: Path, top: str = NAME) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in sorted(folder.rglob("*")):
            if file.is_file():
                archive.write(file, f"{top}/{file.relative_to(folder)}" if top else file.relative_to(folder))
    return path


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return runtime_model(tmp_path_factory.mktemp("made") / "model", "en")


@pytest.fixture(scope="module")
def packed(model: Path) -> Path:
    return zipped(model, model.parent / f"{NAME}.zip")


class Cutting(BaseHTTPRequestHandler):
    """Serves one zip, breaking off after `most` bytes; knows Range and If-Range as nginx does."""

    zip_bytes: ClassVar[bytes] = b""
    most: ClassVar[int] = 1 << 30
    tag: ClassVar[str] = '"first"'
    listing: ClassVar[list[dict[str, str]] | None] = None
    asked: ClassVar[list[str | None]] = []

    def do_GET(self) -> None:
        if self.path.endswith("model-list.json"):
            self._whole(json.dumps(self.listing).encode() if self.listing is not None else None)
            return
        if not self.path.endswith(f"/{NAME}.zip"):
            self._whole(None)
            return
        self.asked.append(self.headers["Range"])
        start = 0
        if self.headers["Range"] and self.headers["If-Range"] == self.tag:
            start = int(self.headers["Range"].removeprefix("bytes=").removesuffix("-"))
        rest = self.zip_bytes[start:]
        self.send_response(206 if start else 200)
        if start:
            self.send_header(
                "Content-Range", f"bytes {start}-{len(self.zip_bytes) - 1}/{len(self.zip_bytes)}"
            )
        self.send_header("ETag", self.tag)
        self.send_header("Content-Length", str(len(rest)))
        self.end_headers()
        self.wfile.write(rest[: self.most])
        self.close_connection = True

    def _whole(self, body: bytes | None) -> None:
        self.send_response(404 if body is None else 200)
        self.send_header("Content-Length", str(len(body or b"")))
        self.end_headers()
        self.wfile.write(body or b"")

    def log_message(self, format: str, *args: object) -> None:
        """Silent."""


@pytest.fixture
def server(packed: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setattr(Cutting, "zip_bytes", packed.read_bytes())
    monkeypatch.setattr(Cutting, "asked", [])
    serving = ThreadingHTTPServer(("127.0.0.1", 0), Cutting)
    thread = threading.Thread(target=serving.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{serving.server_port}/models"
    serving.shutdown()
    serving.server_close()
    thread.join()


def test_a_fetch_goes_on_after_every_cut(
    server: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    size = len(Cutting.zip_bytes)
    monkeypatch.setattr(Cutting, "most", size // 3)
    monkeypatch.setattr(
        Cutting, "listing", [{"name": NAME, "md5": hashlib.md5(Cutting.zip_bytes).hexdigest()}]
    )
    progress: list[tuple[int, int | None]] = []
    fetched = fetch(NAME, tmp_path, lambda done, whole: progress.append((done, whole)), server)
    assert fetched.sum_compared
    assert fetched.path.read_bytes() == Cutting.zip_bytes
    assert Cutting.asked[0] is None
    assert Cutting.asked[1:3] == [f"bytes={size // 3}-", f"bytes={2 * (size // 3)}-"]
    assert progress[-1] == (size, size)
    assert list(tmp_path.iterdir()) == [fetched.path]


def test_a_fetch_given_up_goes_on_the_next_day(
    server: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = tmp_path / f"{NAME}.zip.part"
    part.write_bytes(Cutting.zip_bytes[:1000])
    part.with_suffix(".version").write_text(Cutting.tag)
    monkeypatch.setattr(Cutting, "most", 0)
    with pytest.raises(FetchError, match="1000 bytes are kept"):
        fetch(NAME, tmp_path, address=server, wait_s=0)
    assert len(Cutting.asked) == 5
    monkeypatch.setattr(Cutting, "most", 1 << 30)
    assert fetch(NAME, tmp_path, address=server).path.read_bytes() == Cutting.zip_bytes
    assert Cutting.asked[-1] == "bytes=1000-"


def test_a_file_that_was_changed_meanwhile_is_fetched_anew(server: str, tmp_path: Path) -> None:
    part = tmp_path / f"{NAME}.zip.part"
    part.write_bytes(b"of an older version")
    part.with_suffix(".version").write_text('"older"')
    assert fetch(NAME, tmp_path, address=server).path.read_bytes() == Cutting.zip_bytes


def test_a_wrong_sum_throws_the_file_away(
    server: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Cutting, "listing", [{"name": NAME, "md5": "0" * 32}])
    with pytest.raises(FetchError, match="the list says 0000"):
        fetch(NAME, tmp_path, address=server)
    assert not list(tmp_path.glob("*.zip*"))


def test_what_the_server_has_not_and_a_server_that_is_not(server: str, tmp_path: Path) -> None:
    with pytest.raises(FetchError, match="the server says 404"):
        fetch("vosk-model-none", tmp_path, address=server)
    with pytest.raises(FetchError, match="cannot be fetched"):
        fetch(NAME, tmp_path, address="http://127.0.0.1:9", wait_s=0)
    for address in ("nowhere", "http://[", "ftp://127.0.0.1"):
        with pytest.raises(FetchError):
            fetch(NAME, tmp_path, address=address, wait_s=0)


def test_fetched_chosen_and_listened_with(
    server: str, tmp_path: Path, synthesiser: Synthesiser, capsys: pytest.CaptureFixture[str]
) -> None:
    home = ["--home", str(tmp_path)]
    assert main(["voice", "models", "--fetch", NAME, "--address", server, "--language", "en", *home]) == 0
    told = capsys.readouterr().out
    assert "no MD5 sum to compare with" in told
    assert "has all words of the steps" in told
    assert main(["voice", "models", *home]) == 0
    assert "models/en, in use" in capsys.readouterr().out  # nothing is in use unasked
    assert main(["voice", "models", "--use", NAME, "--language", "en", *home]) == 0
    capsys.readouterr()
    assert main(["voice", "models", *home]) == 0
    assert f"en: {NAME}, in use in its place" in capsys.readouterr().out
    heard = recognisers(tmp_path)
    for words, asked, value in (
        ("one seven five", Asked(Listening.AXIS, "en"), "175"),
        ("minus two point two five", Asked(Listening.POWER, "en"), "-2.25"),
        ("no", Asked(Listening.YES_NO, "en"), "no"),
    ):
        recogniser = heard(asked)
        assert isinstance(recogniser, VoskRecogniser)
        assert recogniser.knows("seven")
        understood = understand(recogniser.recognise(synthesiser.render(words, "en")), asked)
        assert str(understood.value) == value, understood
        assert understood.accepted
    yes_no = Asked(Listening.YES_NO, "en")
    other = understand(heard(yes_no).recognise(synthesiser.render("seventy", "en")), yes_no)
    assert not other.accepted
    assert main(["voice", "models", "--use", "own", "--language", "en", *home]) == 0
    assert not list((tmp_path / "models").glob("*.part"))


def test_a_model_that_lacks_words_names_them(
    tmp_path: Path, synthesiser: Synthesiser, capsys: pytest.CaptureFixture[str]
) -> None:
    home = ["--home", str(tmp_path)]
    poor = runtime_model(tmp_path / "models" / "poor", "en", {"oh", "plano"})
    useless = runtime_model(tmp_path / "models" / "useless", "en", {"oh", "zero", "stop"})
    assert main(["voice", "models", "--use", "poor", "--language", "en", *home]) == 0
    assert "poor can be loaded and lacks oh, plano" in capsys.readouterr().out
    assert main(["voice", "models", "--use", "useless", "--language", "en", *home]) == 2
    assert "useless has no word for 0, stop in en" in capsys.readouterr().err
    assert trial(useless, "en").unsayable == ("0", "stop")
    asked = Asked(Listening.DIGITS, "en", digits=2)
    understood = understand(
        recognisers(tmp_path)(asked).recognise(synthesiser.render("zero four", "en")), asked
    )
    assert understood.value == "04"
    assert poor.is_dir()


def test_a_model_that_does_not_load_is_told_and_nothing_ends(model: Path, tmp_path: Path) -> None:
    """Vosk ends the process that hands it a broken graph: it is not this one."""
    broken = Path(shutil.copytree(model, tmp_path / "models" / "broken"))
    data = (broken / "graph" / "HCLr.fst").read_bytes()
    (broken / "graph" / "HCLr.fst").write_bytes(data[: len(data) // 2])
    with pytest.raises(ValueError, match="broken cannot be loaded"):
        trial(broken, "en")


def test_a_chosen_model_that_has_gone_is_told(
    model: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = Path(shutil.copytree(model, tmp_path / "models" / "gone"))
    home = ["--home", str(tmp_path)]
    assert main(["voice", "models", "--use", "gone", "--language", "en", *home]) == 0
    shutil.rmtree(kept)
    with pytest.raises(SpeechError, match="there is no model 'gone'"):
        recognisers(tmp_path)(Asked(Listening.DIGIT, "en"))
    capsys.readouterr()
    assert main(["voice", "models", *home]) == 2
    assert "en: cannot be used: there is no model 'gone'" in capsys.readouterr().out
    (tmp_path / "models" / "in-use.toml").write_text("en = ")
    assert main(["voice", "models", *home]) == 2
    assert "delete it and choose again" in capsys.readouterr().out


def test_a_zip_without_a_folder_of_its_own_and_a_number_model(tmp_path: Path) -> None:
    packed = zipped(number_model("en"), tmp_path / "newer-en.zip", top="")
    assert import_zip(packed, tmp_path) == tmp_path / "models" / "newer-en"
    assert main(["voice", "models", "--use", "newer-en", "--language", "en", "--home", str(tmp_path)]) == 0
    assert isinstance(recognisers(tmp_path)(Asked(Listening.DIGIT, "en")), VoskRecogniser)
    with pytest.raises(ValueError, match="already"):
        import_zip(packed, tmp_path)


def _link(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> None:
    info.filename = "m/link"
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    archive.writestr(info, "/etc/passwd")


BAD: dict[str, tuple[str, str]] = {
    "../out": ("../out", "leads out"),
    "absolute": ("/tmp/out", "leads out"),
    "backslash": ("m\\..\\..\\out", "leads out"),
    "drive": ("C:/out", "leads out"),
    "own": ("own/readme.txt", "the model's name 'own' cannot be used"),
    "no model": ("m/readme.txt", "is no model that can be used"),
    "fixed": ("m/graph/HCLG.fst", "one fixed graph"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_zip_that_is_no_model_or_leads_out_is_refused(case: str, tmp_path: Path) -> None:
    name, why = BAD[case]
    path = tmp_path / "m.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(zipfile.ZipInfo(name), "x")
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(ValueError, match=why):
        import_zip(path, tmp_path)
    left = [found for found in sorted(tmp_path.rglob("*")) if found not in before]
    assert left in ([], [tmp_path / "models"])


def test_a_link_a_bomb_a_torn_and_a_false_zip_are_refused(
    packed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = tmp_path / "link.zip"
    with zipfile.ZipFile(link, "w") as archive:
        _link(archive, zipfile.ZipInfo("m/link"))
    with pytest.raises(ValueError, match="no plain file"):
        import_zip(link, tmp_path)
    torn = tmp_path / "torn.zip"
    torn.write_bytes(packed.read_bytes()[: len(packed.read_bytes()) // 2])
    with pytest.raises(ValueError, match="damaged or not a zip"):
        import_zip(torn, tmp_path)
    flipped = bytearray(packed.read_bytes())
    flipped[len(flipped) // 3] ^= 0xFF
    torn.write_bytes(flipped)
    with pytest.raises(ValueError, match="damaged"):
        import_zip(torn, tmp_path)
    monkeypatch.setattr("assistant.speech.model_zip.MOST_BYTES", 1000)
    with pytest.raises(ValueError, match="would unpack to more than"):
        import_zip(packed, tmp_path)
    assert not list((tmp_path / "models").glob("*"))


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_phrases_given_at_run_time_are_the_contexts_own(language: str) -> None:
    for context in CONTEXTS:
        of, said = graph(context, language), covering(graph(context, language))
        if context is not Listening.DIGITS:
            assert set(said) <= set(phrases(context, language))
        assert {word for words in said for word in words} == {arc.word for arc in of.arcs}
        follow = {(a.word, b.word) for a in of.arcs for b in of.arcs if a.target == b.source}
        assert follow == {pair for words in said for pair in itertools.pairwise(words)}
