"""The HTML report and the labels, read back by html.parser and xml.etree."""

from __future__ import annotations

import html.parser
import math
import re
from datetime import datetime
from pathlib import Path
from xml.etree import ElementTree as xml

import msgspec
import pytest

from darkroom.bench import events as ev
from darkroom.log.catalogue.catalogue import Catalogue
from darkroom.log.catalogue.query import Query
from darkroom.log.export import html_report
from darkroom.log.export.report_trends import Charts
from darkroom.log.export.svg_figure import drawn as drawn_picture
from darkroom.log.export.svg_time_line import drawing
from darkroom.log.plate.axis import LONGEST, Axis
from darkroom.log.plate.record import read_record
from darkroom.log.trends.figures import Picture, picture, subjects
from darkroom.log.trends.reading import trend_rows
from darkroom.log.trends.scales import Scale
from darkroom.log.trends.trends import trends
from darkroom.process.text.plain_text import plain
from darkroom.resources import fault_catalogue
from tests.kit import fault_season
from tests.kit.exports import DAY, EVIL, FIRST, FORMULA, SCRIPT, SECOND, WORDS, hostile, shelve, worked

EMPTY = frozenset({"meta", "br", "hr", "img", "link", "input"})
"""Elements without an end tag (HTML Living Standard, void elements, those that could occur here)."""
SVG = "{http://www.w3.org/2000/svg}"


class ParsedPage(html.parser.HTMLParser):
    """Reads a page; raises nothing, notes what does not nest."""

    def __init__(self, path: Path) -> None:
        """Read the file."""
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.text: list[str] = []
        self.feed(path.read_bytes().decode("utf-8"))
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.tags.append((tag, dict(attrs)))
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element that is closed at once."""
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Check that the innermost element ends."""
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        """Keep the words."""
        if not self.open or self.open[-1] != "style":
            self.text.append(data)


@pytest.fixture(params=["html", "labels"])
def page(request: pytest.FixtureRequest, season: Path, out: Path, export) -> ParsedPage:
    """Return each kind of page of three plates, one of them hostile."""
    assert export(request.param, "--all", "--to", out / "page.html")[0] == 0
    return ParsedPage(out / "page.html")


def test_every_element_is_closed(page: ParsedPage) -> None:
    """Elements nest and end; nothing is left open."""
    assert (page.wrong, page.open) == ([], [])
    assert page.tags[0][0] == "html"


def test_no_script_and_no_network(page: ParsedPage) -> None:
    """No element runs or loads anything: no script, no handler, no address but one within the page."""
    known = {"html", "head", "meta", "title", "style", "body", "main", "article", "header", "footer", "div",
             "b", "span", "p", "h1", "h2", "h3", "table", "tr", "th", "td", "a", "section", "dl", "dt", "dd",
             "ul", "li", "bdi", "svg", "line", "rect", "text", "polyline", "circle", "desc", "figure",
             "figcaption"}  # fmt: skip
    for tag, attributes in page.tags:
        assert tag in known
        for name, value in attributes.items():
            assert not name.startswith("on"), name
            assert name not in ("src", "srcset", "style", "action", "xlink:href"), name
            assert name != "href" or (value or "").startswith("#p2026")
    policy = next(attributes for _, attributes in page.tags if "http-equiv" in attributes)
    assert (policy["content"] or "").startswith("default-src 'none'; style-src 'unsafe-inline'")


def test_hostile_words_are_words(page: ParsedPage) -> None:
    """What was typed is read as text, to the sign; forbidden signs are shown as replaced."""
    text = "".join(page.text)
    assert SCRIPT in text
    assert FORMULA in text
    assert '& "quoted", it\'s' in text
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\ufffe]", text)


def test_no_word_is_taken_for_the_place_of_the_sections(home: Path) -> None:
    """The sections stand in the page once, at their place, whatever a plate is called."""
    words = html_report._SECTIONS.decode()
    records = [read_record(shelve(home, hostile(words=words))), read_record(shelve(home, worked()))]
    page = b"".join(html_report.report(records, words)).decode()
    assert page.count('<section class="plate"') == 2 and "\0" not in page
    assert page.index("</table>") < page.index('<section class="plate"')
    assert page.count("\ufffdsections\ufffd") > 3


def test_typed_words_keep_their_direction_to_themselves(page: ParsedPage) -> None:
    """Words with signs that turn the direction stand alone in a <bdi> (HTML Living Standard, 4.5.24)."""
    assert sum(tag == "bdi" for tag, _ in page.tags) > 10
    title = next(text for text in page.text if text.strip() == "Plates")
    assert title == "Plates"


def test_the_style_loads_nothing(season: Path, out: Path, export) -> None:
    """The style sheet inside has no address and imports nothing."""
    for form in ("html", "labels"):
        export(form, "--all", "--to", out / form)
        style = re.findall(r"<style>(.*?)</style>", (out / form).read_text("utf-8"), re.DOTALL)
        assert len(style) == 1
        assert "url(" not in style[0] and "@import" not in style[0]
        assert "@page" in style[0]


def test_a_day_has_its_plates_and_their_contents(season: Path, out: Path, export) -> None:
    """The report of a day holds the plates of that day, and a way to each from the contents."""
    export("html", "--day", DAY, "--to", out / "day.html")
    page = ParsedPage(out / "day.html")
    sections = [attributes["id"] for tag, attributes in page.tags if tag == "section"]
    assert sections == [f"p{FIRST}", f"p{SECOND}"]
    links = [attributes["href"] for tag, attributes in page.tags if tag == "a"]
    assert links[:2] == [f"#p{FIRST}", f"#p{SECOND}"] and set(links[2:]) <= set(links[:2])
    assert f"Plates of {DAY}" in page.text


def test_the_report_tells_observed_called_and_assumed_apart(season: Path, out: Path, export) -> None:
    """In words and in form: a strike was observed, the clock called, a temperature was assumed or read."""
    export("html", FIRST, "--to", out / "one.html")
    page = ParsedPage(out / "one.html")
    text = "".join(page.text)
    assert "observed" in text and "called" in text and "developer 20 °C, assumed" in text
    bars = [attributes for tag, attributes in page.tags if tag == "rect"]
    kinds = [bar.get("class") for bar in bars]
    assert kinds.count("called") == 3  # exposure, rinse, and the one in the key
    ends = [bar for bar in bars if bar["class"] in ("seen", "called", "told")]
    forms = {(bar["fill"], bar.get("stroke-dasharray")) for bar in ends}
    assert len(forms) == 3


def test_a_late_strike_is_flagged(home: Path, out: Path, export) -> None:
    """Coating took 100 s, over three times the usual 30 s: its strike looks late, the others do not."""
    events = worked()
    end = next(line.n for line in events if isinstance(line, ev.StageEnded) and line.stage == "coat")
    last = events[-1]
    later = ev.Moved(n=last.n + 1, at=last.at, up=1401.0, moves=(end, end + 1), seconds=80.0)
    shelve(home, [*events, later])
    export("html", FIRST, "--to", out / "one.html")
    text = "".join(ParsedPage(out / "one.html").text)
    assert text.count("looks late") == 1
    assert "1:40, looks late" in text


# --- the drawing ------------------------------------------------------------------------------


def drawn(home: Path, events: list[ev.AnyEvent]) -> xml.Element:
    """Return the drawing of a plate, read as XML."""
    return xml.fromstring(drawing(read_record(shelve(home, events))))


def width(row: xml.Element) -> float:
    """Return a bar's width."""
    return float(row.get("width", "nan"))


def test_bars_are_as_long_as_their_times(home: Path) -> None:
    """On one scale: 225 s against 215.3 s planned in the bath, 948 s of washing against 900 s."""
    picture = drawn(home, worked())
    seen = [width(rect) for rect in picture.iter(f"{SVG}rect") if rect.get("class") == "seen"]
    plan = [width(rect) for rect in picture.iter(f"{SVG}rect") if rect.get("class") == "plan"]
    bath, wash = seen[1], seen[5]
    assert bath / 225 == pytest.approx(wash / 948, rel=0.01)
    assert plan[-2] / wash == pytest.approx(900 / 948, rel=0.01)


def test_assumed_temperatures_are_broken_lines(home: Path) -> None:
    """The developer's temperature was assumed, the bath's was read twice."""
    picture = drawn(home, worked())
    lines = list(picture.iter(f"{SVG}polyline"))
    broken = [line for line in lines if line.get("stroke-dasharray")]
    assert {line.get("class") for line in broken} == {"trace assumed"}
    assert len(lines) - len(broken) == 3  # the room once, the bath twice
    names = [label.text for label in picture.iter(f"{SVG}text") if label.get("class") == "source"]
    assert "bath 19.5 °C" in names and "developer 20 °C" in names


def test_a_long_wait_is_drawn_broken_and_named() -> None:
    """A night between two stages takes the room of 15 minutes; its true length is written there."""
    axis = Axis([0.0, 60.0, 60.0 + 36000.0, 36120.0], 0.0, 1020.0)
    assert axis.breaks == [(60.0, 36060.0)]
    assert axis.x(36060.0) - axis.x(60.0) == pytest.approx(LONGEST * axis.scale)
    assert axis.x(60.0) == pytest.approx(axis.x(36120.0) - axis.x(36060.0))
    places = [axis.x(instant) for instant in range(0, 36121, 60)]
    assert places == sorted(places)


def test_a_plate_without_stages_has_no_drawing(home: Path) -> None:
    """A plate that stands at its first stage is told in words alone."""
    assert drawing(read_record(shelve(home, worked()[:2]))) == ""


def test_a_hostile_process_draws_words(home: Path) -> None:
    """Names out of a process file are words in the drawing too."""
    events = hostile()
    start = events[0]
    assert isinstance(start, ev.PlateStarted)
    start.process["stages"][1]["label"] = SCRIPT
    picture = drawn(home, events)
    names = [label.text or "" for label in picture.iter(f"{SVG}text") if label.get("class") == "name"]
    assert any(SCRIPT.startswith(name.rstrip("…")) for name in names if name.startswith("<"))
    assert "script" not in {element.tag.removeprefix(SVG) for element in picture.iter()}


def test_a_label_names_the_plate(season: Path, out: Path, export) -> None:
    """A label holds number, day, subject, exposure and the id under which the plate is found."""
    export("labels", FIRST, "--to", out / "labels.html")
    text = "".join(ParsedPage(out / "labels.html").text)
    for word in ("Plate 12", DAY, "Apple tree", "13 × 18 cm", "8 s", "f/4.5", "4 of 5 stars", FIRST):
        assert word in text
    assert EVIL not in text


def _exposed(**members: object) -> list[ev.AnyEvent]:
    """Return the lines of the worked plate, the end of its exposure with these members."""
    return [
        msgspec.structs.replace(line, **members)
        if isinstance(line, ev.StageEnded) and line.stage == "expose"
        else line
        for line in worked()
    ]


def test_the_label_of_a_test_plate_prints_its_strips(home: Path, out: Path, export) -> None:
    """Each strip's total in order, and the best of them, instead of the time of the whole."""
    events = _exposed(strips=(2.0, 4.0, 8.0))
    best = ev.Rating(n=events[-1].n + 1, at=events[-1].at, up=None, best_strip=2)
    shelve(home, [*events, best])
    export("labels", FIRST, "--to", out / "labels.html")
    text = "".join(ParsedPage(out / "labels.html").text)
    assert "strips 2, 4, 8 s, best 2, f/4.5" in text


def test_an_exposure_nobody_saw_the_end_of_claims_no_time(home: Path, out: Path, export) -> None:
    """Label and report say that it is not known, until a detail tells it."""
    events = _exposed(unseen=True, exposed=None)
    path = shelve(home, events)
    record = read_record(path)
    assert (record.exposed, [stage.stage for stage in record.open_questions]) == (None, ["expose"])
    export("labels", FIRST, "--to", out / "labels.html")
    export("html", FIRST, "--to", out / "report.html")
    assert "exposure not known" in "".join(ParsedPage(out / "labels.html").text)
    assert "nobody saw when the cap went on" in "".join(ParsedPage(out / "report.html").text)
    told = ev.Detail(n=events[-1].n + 1, at=events[-1].at, up=None, key="exposed", value="9 s")
    record = read_record(shelve(home, [*events, told]))
    assert (record.exposed, record.open_questions) == (9.0, ())


# --- several plates together ------------------------------------------------------------------


def charts_of(home: Path, plates: list[list[ev.AnyEvent]]) -> Charts:
    """Return the charts of several plates."""
    charts = Charts()
    for events in plates:
        charts.add(read_record(shelve(home, events)))
    return charts


def together(home: Path, plates: list[list[ev.AnyEvent]]) -> dict[str, xml.Element]:
    """Return the pictures of several plates by their title, read as XML."""
    return {shown.title: xml.fromstring(svg) for shown, svg in charts_of(home, plates).figures()}


def several(number: int, **members: object) -> list[list[ev.AnyEvent]]:
    """Return plates whose bath was read, a degree warmer from plate to plate."""
    return [
        worked(
            f"20260301-09{k:02}00-aaaaaa",
            k,
            temperatures={"bath": (15.0 + k, "hand")},
            bottles={"fixer": "F1" if k < 3 else "F2"},
            **members,
        )
        for k in range(number)
    ]


def dots(picture: xml.Element) -> list[tuple[float, float]]:
    """Return the places of the plates."""
    return [(float(dot.get("cx", "")), float(dot.get("cy", ""))) for dot in picture.iter(f"{SVG}circle")]


def test_times_stand_over_the_temperatures_that_were_read(home: Path) -> None:
    """One dot a plate and the process's curve; the developer's temperature was assumed and has no picture."""
    pictures = together(home, several(4))
    title = "sensitise over the temperature of the bath"
    assert list(pictures) == [title, "clearing time, plate after plate"]
    picture = pictures[title]
    places = dots(picture)
    assert len(places) == 4 and [x for x, _ in places] == sorted(x for x, _ in places)
    assert len({y for _, y in places}) == 1  # every plate stayed 225 s in the bath
    (curve,) = picture.iter(f"{SVG}polyline")
    points = [tuple(map(float, place.split(","))) for place in (curve.get("points") or "").split()]
    heights = [y for _, y in points]
    assert heights == sorted(heights)  # warmer is shorter, so the curve falls: y grows downwards
    # 270 s at 10 °C, 210 s at 20 °C, in equal ratios: 225 s at 10 + 10 ln(225/270) / ln(210/270) °C.
    celsius = 10 + 10 * math.log(225 / 270) / math.log(210 / 270)
    crossing = min(points, key=lambda point: abs(point[1] - places[0][1]))[0]
    assert crossing == pytest.approx(
        places[0][0] + (celsius - 15) * (places[1][0] - places[0][0]), abs=20
    )  # a point every quarter of a degree
    assert picture.get("role") == "img"
    described = (f"{SVG}title", f"{SVG}desc")
    texts = {element.get("id"): element.text or "" for element in picture if element.tag in described}
    assert [picture.get("aria-labelledby"), picture.get("aria-describedby")] == list(texts)
    assert "Trial" in "".join(texts.values()) and "4 plates" in "".join(texts.values())
    labels = [label.text or "" for label in picture.iter(f"{SVG}text")]
    assert "bath, °C" in labels and "time, min:s" in labels


def test_another_fixer_is_seen_among_the_clearing_times(home: Path) -> None:
    """Clearing times stand in the order of the plates, a dotted line where the fixer is another."""
    picture = together(home, several(5))["clearing time, plate after plate"]
    places = dots(picture)
    (line,) = [line for line in picture.iter(f"{SVG}line") if line.get("class") == "sign"]
    assert line.get("stroke-dasharray")
    assert places[2][0] < float(line.get("x1", "")) < places[3][0]


def test_a_report_and_the_screen_say_the_same(home: Path) -> None:
    """The figures of a report are the pictures that the catalogue's trends give, but for the fixers'."""
    in_report = [shown for shown, _ in charts_of(home, several(14, lens="a")).figures()]
    with Catalogue(home) as catalogue:
        catalogue.check()
        on_screen = [picture(subject) for subject in subjects(trends(trend_rows(catalogue, Query())))]
    fixers = [shown for shown in on_screen if shown.title.startswith("clearing")]
    assert fixers and in_report[:-1] == [shown for shown in on_screen if shown not in fixers]


def test_the_report_of_several_plates_has_a_section_of_trends(home: Path, out: Path, export) -> None:
    """A report of four plates has figures with ids of their own; hostile words stay words in them."""
    for events in several(3, lens=SCRIPT, light=WORDS):
        shelve(home, events)
    start = worked("20260301-095900-aaaaaa", 9, temperatures={"bath": (19.0, "hand")})
    assert isinstance(start[0], ev.PlateStarted)
    shelve(home, start)
    assert export("html", "--all", "--to", out / "page.html")[0] == 0
    page = ParsedPage(out / "page.html")
    assert (page.wrong, page.open) == ([], [])
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids)) and "trend1" in ids and "trend1d" in ids
    assert "Trends" in page.text
    assert not [tag for tag, _ in page.tags if tag == "script"]


def test_what_changed_stands_beside_the_share_of_a_fault(home: Path) -> None:
    """A line and a letter stand where the new developer came, as on the screen; the words name it."""
    charts = Charts(lambda: fault_catalogue(home)[0])
    last_day = datetime(2026, 5, 20, 10).astimezone()
    for number in range(1, fault_season.PLATES + 1):
        charts.add(read_record(fault_season.shelve_plate(home, number, last_day, {})))
    shown, svg = next(figure for figure in charts.figures() if figure[0].title == "plates with general fog")
    with Catalogue(home) as catalogue:
        catalogue.check()
        found = trends(trend_rows(catalogue, Query()), known=fault_catalogue(home)[0])
    assert [shown] == [picture(trend) for trend in found.fault_shares]
    root = xml.fromstring(svg)
    (line,) = [element for element in root.iter(f"{SVG}line") if element.get("class") == "sign"]
    assert line.get("x1") == line.get("x2")
    assert "a" in [element.text for element in root.iter(f"{SVG}text")]
    (description,) = root.iter(f"{SVG}desc")
    assert "a 05-19 developer D-4" in (description.text or "")


def test_hostile_words_stay_words_in_a_figure() -> None:
    """Names, labels and sayings out of journals and process files are text of the SVG, whatever they hold."""
    shown = Picture(
        title=SCRIPT,
        about=WORDS,
        across=Scale(label=WORDS, unit="stars", least=-0.3, most=5.3),
        up=Scale(label=SCRIPT, unit="names", least=-0.5, most=1.5, names=(SCRIPT, WORDS)),
        points=((3.0, 0.0, 5), (4.0, 1.0, 50)),
        marks=((3.0, 0.0),),
        mark_name="mean",
        says=(WORDS, SCRIPT),
    )
    svg = xml.fromstring(drawn_picture(shown, 1))
    tags = {element.tag.removeprefix(SVG) for element in svg.iter()}
    assert tags == {"svg", "title", "desc", "rect", "line", "text", "circle"}
    assert svg[0].text == f"{SCRIPT}, {plain(WORDS)}"
    labels = [label.text or "" for label in svg.iter(f"{SVG}text")]
    assert SCRIPT in labels and any(label.endswith("…") and SCRIPT.startswith(label[:-1]) for label in labels)
    radii = [float(dot.get("r", "")) for dot in svg.iter(f"{SVG}circle")]
    assert radii == sorted(radii) and len(set(radii)) == 2  # more plates, a larger dot


def test_two_plates_are_no_picture(home: Path) -> None:
    """Two dots show nothing, and are not drawn."""
    assert together(home, several(2)) == {}
