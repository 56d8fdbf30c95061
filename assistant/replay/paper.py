"""Pages for a browser or a printer, each one file that needs nothing else: templates filled by Jinja."""

import os
from functools import cache
from pathlib import Path
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from assistant.journal.disk import refusals
from assistant.journal.errors import RecordFailed
from assistant.replay.wording import lasting
from assistant.ui.shapes import Scene
from assistant.ui.sheets import Section, html_of
from assistant.ui.svg import svg

SUMMARY: Final = "summary.html"
SESSION: Final = "session.html"


@cache
def _templates() -> Environment:
    pages = Environment(
        loader=PackageLoader("assistant.replay"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.filters["table"] = table
    pages.filters["lasting"] = lasting
    return pages


def filled(template: str, **values: object) -> str:
    """A template with its values, every text escaped. Raises `jinja2.UndefinedError` for a value left out."""
    return _templates().get_template(template).render(values)


def table(section: Section) -> Markup:
    return Markup(html_of(section))


def drawing(scene: Scene, title: str) -> Markup:
    return Markup(svg(scene, title))


def written(path: Path, text: str) -> None:
    """Put a text on disk whole or not at all: a full disk leaves what was there. A folder that is missing is made.

    Raises `RecordFailed`.
    """
    with refusals(path.parent, "making this folder"):
        path.parent.mkdir(parents=True, exist_ok=True)
    with refusals(path, "writing the file"):
        if path.is_dir():
            raise RecordFailed("is a folder; a file to be written is wanted", path)
        beside = path.with_name(f"{path.name}.new")
        try:
            beside.write_text(text, encoding="utf-8", newline="")
            os.replace(beside, path)
        finally:
            beside.unlink(missing_ok=True)
