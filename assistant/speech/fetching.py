"""Fetching one of Vosk's official models, only when asked to: with progress, on from where it broke off, verified."""

import hashlib
import json
import re
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import httpx

ADDRESS: Final = "https://alphacephei.com/vosk/models"
LIST: Final = "model-list.json"
KNOWN: Final[Mapping[str, tuple[tuple[str, int], ...]]] = {
    "en": (("vosk-model-small-en-us-0.15", 40), ("vosk-model-small-en-in-0.4", 36)),
    "pt": (("vosk-model-small-pt-0.3", 31),),
    "fr": (("vosk-model-small-fr-0.22", 41), ("vosk-model-small-fr-pguyot-0.3", 39)),
}
"""Language to the small models there are for it and their size in MB (from memory; there is none for Swahili)."""
TRIES: Final = 5
"""In a row without one more byte; then it is given up, and what has come is kept."""
WAIT_S: Final = 1.0
PATIENCE_S: Final = 20.0
MOST_BYTES: Final = 2_000_000_000
_RANGE = re.compile(r"bytes (\d+)-\d+/(\d+)")
Told = Callable[[int, int | None], None]
"""Bytes here so far, and of all where that is known."""


class FetchError(Exception):
    """The model did not come, in one sentence; what has come is kept and the next try goes on from there."""


@dataclass(frozen=True, slots=True)
class Fetched:
    """The zip file, and whether its MD5 sum is the one in the official list (False: the list gives none)."""

    path: Path
    sum_compared: bool


def fetch(
    name: str, folder: Path, told: Told = lambda *_: None, address: str = ADDRESS, wait_s: float = WAIT_S
) -> Fetched:
    """Fetch NAME.zip into `folder`. Raises FetchError; OSError where the disk is full."""
    folder.mkdir(parents=True, exist_ok=True)
    part = folder / f"{name}.zip.part"
    with httpx.Client(timeout=PATIENCE_S, follow_redirects=True) as client:
        wanted = _listed_sum(client, address, name)
        _whole(client, f"{address}/{name}.zip", part, told, wait_s)
    if wanted is not None and (found := _md5(part)) != wanted:
        part.unlink()
        _mark_of(part).unlink(missing_ok=True)
        raise FetchError(
            f"{name}: what came is damaged (MD5 {found}, the list says {wanted}); it was thrown away, try again"
        )
    path = part.with_suffix("")
    part.replace(path)
    _mark_of(part).unlink(missing_ok=True)
    return Fetched(path, wanted is not None)


def _whole(client: httpx.Client, url: str, part: Path, told: Told, wait_s: float) -> None:
    """Until all of it is here: after each break on from there, as long as something comes."""
    failed = 0
    while True:
        before = _size(part)
        try:
            if _some(client, url, part, told):
                return
            why = "the connection broke off"
        except httpx.InvalidURL as error:
            raise FetchError(f"{url} is no address ({error})") from error
        except httpx.RequestError as error:
            why = str(error) or type(error).__name__
        failed = failed + 1 if _size(part) <= before else 0
        if failed >= TRIES:
            raise FetchError(
                f"{url} cannot be fetched ({why}); {_size(part)} bytes are kept for the next try"
            )
        time.sleep(wait_s if failed else 0)


def _some(client: httpx.Client, url: str, part: Path, told: Told) -> bool:
    """Take what comes; whether it is all here."""
    start, mark = _size(part), _mark_of(part)
    headers = {"Accept-Encoding": "identity"}
    if start and mark.is_file():
        headers |= {"Range": f"bytes={start}-", "If-Range": mark.read_text("utf-8")}
    with client.stream("GET", url, headers=headers) as answer:
        if answer.status_code == httpx.codes.REQUESTED_RANGE_NOT_SATISFIABLE:
            part.unlink()  # more is here than there is to be had: from the beginning again
            return False
        start, whole = _agreed(answer, start, url)
        if whole is not None and whole > MOST_BYTES:
            raise FetchError(f"{url} has {whole} bytes; allowed is {MOST_BYTES}")
        if tag := answer.headers.get("ETag") or answer.headers.get("Last-Modified"):
            mark.write_text(tag, "utf-8")
        with part.open("r+b" if start else "wb") as out:
            out.seek(start)
            out.truncate()
            for block in answer.iter_raw():
                out.write(block)
                told(out.tell(), whole)
                if out.tell() > MOST_BYTES:
                    raise FetchError(f"{url} does not end; allowed are {MOST_BYTES} bytes")
            here = out.tell()
    if whole is not None and here > whole:
        raise FetchError(f"{url} gave {here} bytes where it said {whole}")
    return whole is None or here == whole


def _agreed(answer: httpx.Response, start: int, url: str) -> tuple[int, int | None]:
    """From which byte the server goes on, and how many there are in all."""
    if answer.status_code == httpx.codes.PARTIAL_CONTENT:
        match = _RANGE.fullmatch(answer.headers.get("Content-Range", ""))
        if match is None or int(match[1]) != start:
            raise FetchError(f"{url}: asked for byte {start} on, the server gave another part")
        return start, int(match[2])
    if answer.status_code != httpx.codes.OK:
        raise FetchError(f"{url} cannot be fetched: the server says {answer.status_code}")
    length = answer.headers.get("Content-Length", "")
    return 0, int(length) if length.isdigit() else None


def _listed_sum(client: httpx.Client, address: str, name: str) -> str | None:
    """The MD5 sum that the official list gives for a model; None where there is no list or it gives none."""
    try:
        answer = client.get(f"{address}/{LIST}")
        listed: Any = answer.json() if answer.status_code == httpx.codes.OK else []
    except (httpx.RequestError, httpx.InvalidURL, json.JSONDecodeError, UnicodeDecodeError):
        return None
    entries = listed if isinstance(listed, list) else []
    for entry in entries:
        if isinstance(entry, dict) and entry.get("name") == name and isinstance(entry.get("md5"), str):
            return str(entry["md5"]).lower()
    return None


def _mark_of(part: Path) -> Path:
    """Which version of the file the part is of, as the server names it."""
    return part.with_suffix(".version")


def _size(path: Path) -> int:
    return path.stat().st_size if path.is_file() else 0


def _md5(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, lambda: hashlib.md5(usedforsecurity=False)).hexdigest()
