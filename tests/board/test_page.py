"""The board's page as files: what it asks for, what it is made of, how well it can be read in the sun."""

import re
from importlib.resources import files
from pathlib import Path

import httpx
import pytest
from full_board import CODE, morning
from served_boat import served_boat

from assistant.hub.page_signs import PAGE, with_signs
from assistant.hub.verdict_told import NOT_RIGHT
from assistant.ui.shapes import Ink

FILES = ("board.html", "board.js", "telling.js", "board.css")
LEAST_CONTRAST = 7.0
"""Of text to its ground; WCAG 2.1, success criterion 1.4.6 (from memory)."""


def text(name: str) -> str:
    return files("assistant.hub").joinpath("page", name).read_text(encoding="utf-8")


def test_the_signs_in_the_page_are_those_of_the_benches() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert with_signs(page) == page
    with pytest.raises(ValueError, match="no place"):
        with_signs("<html></html>")


def test_every_ink_of_a_sign_has_its_colour() -> None:
    css = text("board.css")
    assert not [ink for ink in Ink if f".ink-{ink.name.lower()} " not in css]


@pytest.mark.parametrize("name", FILES)
def test_no_file_names_another_address(name: str) -> None:
    page = text(name).replace("http://www.w3.org/2000/svg", "")
    assert not re.findall(r"(?:https?:)?//[a-z0-9]", re.sub(r"^\s*//.*$", "", page, flags=re.M))
    assert "innerHTML" not in page


def test_the_page_knows_the_word_before_a_wrong_figure() -> None:
    assert f'"{NOT_RIGHT}"' in text("telling.js")


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` or `#rgb`, sRGB (WCAG 2.1, from memory)."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    parts = [int(digits[place : place + 2], 16) / 255.0 for place in (0, 2, 4)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_every_colour_of_text_stands_out_from_white_paper() -> None:
    css = re.sub(r"^\.ink.*$", "", text("board.css"), flags=re.M)
    colours = dict(re.findall(r"--(\w+): (#\w+)", css))
    used = set(re.findall(r"(?<![-\w])color: (?:var\(--(\w+)\)|(#\w+))", css))
    named = {colours.get(name, plain) for name, plain in used} - {colours["paper"]}
    assert len(named) >= 4
    for colour in named:
        contrast = 1.05 / (luminance(colour) + 0.05)
        assert contrast >= LEAST_CONTRAST, colour


def test_files_are_served_with_a_policy_that_allows_nothing_else(tmp_path: Path) -> None:
    with served_boat(morning(tmp_path)) as served, httpx.Client(base_url=served.address) as client:
        for path in ("/", "/board.js", "/telling.js", "/board.css"):
            reply = client.get(path)
            assert reply.status_code == 200, path
            assert "default-src 'none'" in reply.headers["content-security-policy"]
        assert client.get("/api/board/view").status_code == 401
        assert client.post("/api/board/login", json={"code": CODE}).status_code == 200
        assert client.get("/api/board/view").json()["kit"] == "Tamarind Coast boat clinic"
        assert "Tamarind" in client.get("/report.html").text
        assert client.get("/report.csv").text.startswith("Pairs")
