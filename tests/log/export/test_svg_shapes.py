"""The shapes of a drawing are what an XML library writes of the same elements."""

from __future__ import annotations

from xml.etree import ElementTree as xml

from hypothesis import given
from hypothesis import strategies as st

from darkroom.log.export import svg_shapes
from darkroom.process.text.plain_text import legal

ANY = st.text(st.characters(), max_size=30) | st.text("<>&\"'\r\n\t\0]a", max_size=12)
NUMBERS = st.floats(-5000, 5000)


def serialised(tag: str, attributes: dict[str, str], content: str = "") -> str:
    """Return an element as the standard library writes it."""
    element = xml.Element(tag, attributes)
    element.text = content
    return xml.tostring(element, encoding="unicode")


@given(ANY, NUMBERS, NUMBERS)
def test_text_is_escaped_as_an_xml_library_does(content: str, x: float, y: float) -> None:
    """Words of people stand in a drawing as `xml.etree` writes them, empty ones too."""
    places = {"x": f"{x:g}", "y": f"{y:g}"}
    look = {"class": "took", **svg_shapes.LOOKS["took"]}
    assert svg_shapes.text("took", x, y, content) == serialised("text", look | places, legal(content))


@given(ANY)
def test_a_label_of_a_drawing_is_escaped_as_an_xml_library_does(label: str) -> None:
    """A label with quotes, breaks or tabs comes back from a parser as it was, but for what XML forbids."""
    drawn = svg_shapes.svg("line", 96.0, 20.0, [], aria_label=label)
    expected = serialised("svg", {"aria-label": legal(label)}).removesuffix(" />").removeprefix("<svg")
    assert f'role="img"{expected}>' in drawn
    assert xml.fromstring(drawn).get("aria-label") == legal(label)


@given(NUMBERS, NUMBERS, st.floats(1, 5000), st.floats(1, 5000))
def test_a_bar_is_a_rectangle(x: float, width: float, y: float, height: float) -> None:
    """What is kept of the height of a bar is what a rectangle there has, the first time and again."""
    for kind in svg_shapes.LOOKS:
        expected = svg_shapes.rect(kind, x, y, width, height)
        assert svg_shapes.bar(kind, x, width, y, height) == expected
        assert svg_shapes.bar(kind, x, width, y, height) == expected


@given(NUMBERS, NUMBERS, NUMBERS, NUMBERS)
def test_shapes_are_elements_of_an_xml_library(x: float, y: float, width: float, height: float) -> None:
    """Every shape has its kind, its look and its places, in the order and the form of `xml.etree`."""
    for kind, look in svg_shapes.LOOKS.items():
        begun = {"class": kind, **look}
        assert svg_shapes.rect(kind, x, y, width, height) == serialised(
            "rect",
            begun | {"x": f"{x:g}", "y": f"{y:g}", "width": f"{round(width, 2):g}", "height": f"{height:g}"},
        )
        assert svg_shapes.line(kind, x, y, width, height) == serialised(
            "line", begun | {"x1": f"{x:g}", "y1": f"{y:g}", "x2": f"{width:g}", "y2": f"{height:g}"}
        )
        assert svg_shapes.circle(kind, x, y, width) == serialised(
            "circle", begun | {"cx": f"{x:g}", "cy": f"{y:g}", "r": f"{width:g}"}
        )
        assert svg_shapes.polyline(kind, [(x, y), (width, height)]) == serialised(
            "polyline", begun | {"points": f"{x:g},{y:g} {width:g},{height:g}"}
        )


def test_a_trace_is_broken_where_it_was_assumed() -> None:
    """What was assumed is told by its kind and its dashes."""
    look = {"fill": "none", "stroke": "#123456", "stroke-width": "1.6"}
    assert svg_shapes.trace("#123456", "1,2 3,4", False) == serialised(
        "polyline", {"class": "trace", **look, "points": "1,2 3,4"}
    )
    assert svg_shapes.trace("#123456", "1,2 3,4", True) == serialised(
        "polyline", {"class": "trace assumed", **look, "stroke-dasharray": "4 4", "points": "1,2 3,4"}
    )
