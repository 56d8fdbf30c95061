"""From shapes to SVG, for pages that are read in a browser or printed: the same scenes the terminal draws.

Every mark carries its ink as a class and no colour; the page's stylesheet says what an ink looks like there.
"""

from xml.etree.ElementTree import Element, SubElement, tostring

from assistant.ui.shapes import Area, Ink, Label, Numeral, Point, Scene, Shape, Stroke

THINNEST = 0.8
"""World units: what a stroke of width 0 is drawn with."""
LABEL_HEIGHT = 6.0
"""World units: about the height of a terminal's row in a picture of 100."""
_CAPITAL = 0.72
"""Height of a figure as a share of the size of its letters."""
_ANCHORS = {-1: "start", 0: "middle", 1: "end"}


def svg(scene: Scene, title: str) -> str:
    """The scene as one `<svg>` element, to stand inside HTML; `title` says in words what is drawn."""
    width, height = _figure(scene.width), _figure(scene.height)
    box = f"{_figure(-scene.width / 2)} {_figure(-scene.height / 2)} {width} {height}"
    root = Element("svg", {"viewBox": box, "role": "img"})
    SubElement(root, "title").text = title
    for shape in scene.shapes:
        root.append(_drawn(shape))
    return tostring(root, encoding="unicode")


def _drawn(shape: Shape) -> Element:
    if isinstance(shape, Stroke):
        return _stroke(shape)
    if isinstance(shape, Area):
        return Element("polygon", {"class": f"area {_ink(shape.ink)}", "points": _points(shape.points)})
    if isinstance(shape, Label):
        return _text(shape, shape.text, LABEL_HEIGHT, _ANCHORS[shape.anchor])
    return _text(shape, shape.text, shape.height / _CAPITAL, "middle")


def _stroke(stroke: Stroke) -> Element:
    attributes = {
        "class": f"stroke {_ink(stroke.ink)}",
        "points": _points(stroke.points),
        "stroke-width": _figure(stroke.width or THINNEST),
    }
    if stroke.dashed:
        attributes["stroke-dasharray"] = "4 4"
    return Element("polyline", attributes)


def _text(shape: Label | Numeral, text: str, size: float, anchor: str) -> Element:
    x, y = shape.x, shape.y
    # y is the middle of the figures: the line they stand on is half their height lower
    place = {"x": _figure(x), "y": _figure(-y + size * _CAPITAL / 2.0), "font-size": _figure(size)}
    element = Element("text", {"class": f"text {_ink(shape.ink)}", "text-anchor": anchor, **place})
    element.text = text
    return element


def _ink(ink: Ink) -> str:
    return ink.name.lower()


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(f"{_figure(x)},{_figure(-y)}" for x, y in points)


def _figure(value: float) -> str:
    """Hundredths of a world unit, which no eye can see."""
    return f"{round(value, 2) + 0.0:g}"
