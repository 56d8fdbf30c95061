"""Scenes as SVG: the same geometry, every ink named, texts whole."""

from xml.etree.ElementTree import Element, fromstring

import pytest

from assistant.ui.gallery import gallery
from assistant.ui.pictures import scene
from assistant.ui.shapes import Area, Ink, Label, Numeral, Scene, Stroke, box_points
from assistant.ui.svg import svg, symbol

BOX = Scene(
    (
        Area(box_points((10.0, 5.0), 4.0, 2.0), Ink.LIT),
        Stroke(((0.0, 0.0), (30.25, 20.0)), Ink.WRONG, width=3.0, dashed=True),
        Label(-80.0, 40.0, "a<b & c", Ink.DIM, -1),
        Numeral(0.0, -20.0, "-1.75", 14.4, Ink.RIGHT),
    )
)


def _points(element: Element) -> list[tuple[float, float]]:
    """World points, y upwards again."""
    pairs = (pair.split(",") for pair in element.attrib["points"].split())
    return [(float(x), -float(y)) for x, y in pairs]


def test_places_and_inks_are_those_of_the_scene() -> None:
    title, area, stroke, label, numeral = fromstring(svg(BOX, "a box"))
    assert title.text == "a box"
    assert (area.tag, area.attrib["class"]) == ("polygon", "ink-lit")
    assert _points(area) == list(box_points((10.0, 5.0), 4.0, 2.0))
    assert stroke.attrib["class"] == "ink-wrong-line"
    assert _points(stroke) == [(0.0, 0.0), (30.25, 20.0)]
    assert stroke.attrib["stroke-width"] == "3"
    assert "stroke-dasharray" in stroke.attrib
    assert (label.text, label.attrib["text-anchor"]) == ("a<b & c", "start")
    assert (numeral.text, numeral.attrib["font-size"]) == ("-1.75", "20")


def test_the_box_is_the_scene_s() -> None:
    assert fromstring(svg(Scene((), 60.0, 40.0), "")).attrib["viewBox"] == "-30 -20 60 40"


def test_a_label_over_the_edge_is_moved_in_whole() -> None:
    scene = Scene((Label(-84.0, 60.0, "90"), Label(84.0, -60.0, "-90", anchor=-1), Label(0.0, 10.0, "mid")))
    first, second, third = fromstring(svg(scene, "")).iter("text")
    assert float(first.attrib["x"]) > -84.0
    assert float(first.attrib["y"]) > -50.0 + 3.0
    assert float(second.attrib["x"]) < 84.0 - 5.0
    assert float(second.attrib["y"]) < 50.0
    assert third.attrib["x"] == "0"


def test_a_symbol_is_a_square_box_with_a_name() -> None:
    root = fromstring(symbol("fish", BOX.shapes[:1], 40.0))
    assert (root.tag, root.attrib["id"], root.attrib["viewBox"]) == ("symbol", "fish", "-20 -20 40 40")
    (area,) = root
    assert _points(area) == list(box_points((10.0, 5.0), 4.0, 2.0))


@pytest.mark.parametrize("name", sorted(gallery()))
def test_every_picture_has_all_its_shapes(name: str) -> None:
    drawn = scene(gallery()[name])
    root = fromstring(svg(drawn, name))
    assert len(root) == len(drawn.shapes) + 1
    texts = [element.text or "" for element in root.iter("text")]
    assert texts == [shape.text for shape in drawn.shapes if isinstance(shape, Label | Numeral)]
