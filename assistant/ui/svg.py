"""Shapes as SVG, for pages that are read in a browser or printed: the same pictures as on the terminal. Pure.

Marks carry no colour. An ink becomes a class, `ink-lit` for an area, `ink-lit-line` for a line, `ink-lit-text` for
lettering, and the page's stylesheet says what it looks like there.
"""

from collections.abc import Iterable
from dataclasses import replace
from xml.etree.ElementTree import Element, SubElement, tostring

from assistant.ui.shapes import Area, Ink, Label, Numeral, Point, Scene, Shape, Stroke

THINNEST = 1.0
"""World units of a line that the terminal draws as thin as it can."""
LABEL_HEIGHT = 6.0
"""World units: about the height of a terminal's row in a picture of 100."""
_CAPITAL = 0.72
"""Height of a figure as a share of the size of its letters."""
_ACROSS = 0.55
"""Width of a letter, the widest ones left out, as a share of the size of its letters."""
_ANCHORS = {-1: "start", 0: "middle", 1: "end"}


def svg(scene: Scene, title: str) -> str:
    """The scene as one `<svg>` element, to stand inside HTML; `title` says in words what is drawn."""
    root = Element("svg", {"viewBox": _box(scene.width, scene.height), "role": "img"})
    SubElement(root, "title").text = title
    return _filled(root, (_held(shape, scene) for shape in scene.shapes))


def _held(shape: Shape, scene: Scene) -> Shape:
    """A label moved in whole where it would cross the edge: a number that loses a figure is another number."""
    if not isinstance(shape, Label):
        return shape
    wide = len(shape.text) * LABEL_HEIGHT * _ACROSS
    right = scene.width / 2.0 - wide * (1 - shape.anchor) / 2.0
    left = -scene.width / 2.0 + wide * (1 + shape.anchor) / 2.0
    most = (scene.height - LABEL_HEIGHT) / 2.0
    return replace(shape, x=max(left, min(shape.x, right)), y=max(-most, min(shape.y, most)))


def symbol(name: str, shapes: Iterable[Shape], side: float) -> str:
    """A `<symbol>` called `name`, in a box of `side` by `side` world units about (0, 0)."""
    return _filled(Element("symbol", {"id": name, "viewBox": _box(side, side)}), shapes)


def _filled(root: Element, shapes: Iterable[Shape]) -> str:
    root.extend([_drawn(shape) for shape in shapes])
    return tostring(root, encoding="unicode")


def _drawn(shape: Shape) -> Element:
    match shape:
        case Area(points, ink):
            return Element("polygon", {"class": _ink(ink), "points": _points(points)})
        case Stroke():
            return _stroke(shape)
        case Label(anchor=anchor):
            return _text(shape, LABEL_HEIGHT, _ANCHORS[anchor])
        case Numeral(height=height):
            return _text(shape, height / _CAPITAL, "middle")


def _stroke(stroke: Stroke) -> Element:
    width = _figure(stroke.width or THINNEST)
    attributes = {"class": f"{_ink(stroke.ink)}-line", "fill": "none", "stroke-width": width}
    if stroke.dashed:
        attributes["stroke-dasharray"] = "4 4"
    return Element("polyline", {**attributes, "points": _points(stroke.points)})


def _text(shape: Label | Numeral, size: float, anchor: str) -> Element:
    # y is the middle of the figures: the line they stand on is half their height lower
    place = {"x": _figure(shape.x), "y": _figure(-shape.y + size * _CAPITAL / 2.0)}
    attributes = {"class": f"{_ink(shape.ink)}-text", "text-anchor": anchor, "font-size": _figure(size)}
    element = Element("text", {**attributes, **place})
    element.text = shape.text
    return element


def _box(width: float, height: float) -> str:
    return f"{_figure(-width / 2.0)} {_figure(-height / 2.0)} {_figure(width)} {_figure(height)}"


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_figure(x)},{_figure(-y)}" for x, y in points)


def _figure(value: float) -> str:
    """Hundredths of a world unit, which no eye can see."""
    return f"{round(value, 2) + 0.0:g}"


def _ink(ink: Ink) -> str:
    return f"ink-{ink.name.lower()}"
