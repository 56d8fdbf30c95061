"""Pages for a browser or a printer, each one file that needs nothing else: templates filled by Jinja."""

from functools import cache
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from assistant.ui.shapes import Scene
from assistant.ui.sheets import Section, html_of
from assistant.ui.svg import svg

SUMMARY: Final = "summary.html"


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
    return pages


def filled(template: str, **values: object) -> str:
    """A template with its values, every text escaped. Raises `jinja2.UndefinedError` for a value left out."""
    return _templates().get_template(template).render(values)


def table(section: Section) -> Markup:
    return Markup(html_of(section))


def drawing(scene: Scene, title: str) -> Markup:
    return Markup(svg(scene, title))
