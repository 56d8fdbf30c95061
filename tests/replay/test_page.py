"""One session as a page: every event in it, drawings to scale, mistakes marked, nothing fetched from anywhere."""

import re
import shutil
from html.parser import HTMLParser
from itertools import groupby
from pathlib import Path

import pytest
from recorded import a_morning, a_pair, written

from assistant.cli import main
from assistant.journal.errors import RecordFailed
from assistant.kit.profile import Kit
from assistant.optics.eye import Eye
from assistant.practice.slips import Slip
from assistant.replay.gauge import Gauge
from assistant.replay.listing import rows
from assistant.replay.notes import write_note
from assistant.replay.opening import open_session
from assistant.replay.page import clips_of, write_page
from assistant.replay.page_drawings import Spent, gauge_drawing, times_drawing
from assistant.replay.page_story import Visit, visits, wrongs
from assistant.replay.recheck import with_standard
from assistant.replay.viewing import Other, Viewing
from assistant.replay.wording import doing
from assistant.ui.pictures import scene
from assistant.ui.shapes import Area, Ink, Label, Scene, Stroke
from assistant.ui.svg import svg
from assistant.workflow.events import DayOpened
from assistant.workflow.show import picture

SHIPPED = Path(__file__).parents[2] / "demo_sessions"
FILES = sorted(SHIPPED.glob("*.jsonl"))


class Seen(HTMLParser):
    """Tags opened, addresses, and text, of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.ids: set[str] = set()
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.addresses += [value or "" for name, value in attrs if name in ("src", "href", "data", "poster")]
        self.ids |= {value or "" for name, value in attrs if name == "id"}

    def handle_data(self, data: str) -> None:
        self.text += data


def page_of(session: Path, tmp_path: Path, own_kit: Path | None = None) -> Seen:
    out = tmp_path / "page.html"
    write_page(session, out, own_kit)
    return Seen(out.read_text("utf-8"))


def told(session: Path) -> tuple[Visit, ...]:
    (row,) = rows(open_session(session))
    return visits(Viewing.of(row, (), None, None), clips_of(session))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_page_holds_every_event_and_needs_nothing_else(file: Path, tmp_path: Path) -> None:
    seen = page_of(file, tmp_path)
    lines = len(file.read_bytes().splitlines())
    assert {f"line-{number}" for number in range(1, lines + 1)} <= seen.ids
    assert all(address.startswith(("data:audio/flac;base64,", "#line-")) for address in seen.addresses)
    assert all(address[1:] in seen.ids for address in seen.addresses if address.startswith("#"))
    assert not {"script", "link", "img", "iframe", "object"} & set(seen.tags)
    assert "@import" not in seen.text
    assert "url(" not in seen.text
    assert "http" not in seen.text


def test_the_pictures_are_those_the_helper_saw(tmp_path: Path, demo: Kit) -> None:
    """One drawing for every picture that was new to the helper, in the order of the day."""
    session = written(tmp_path / "one.jsonl", a_pair(demo))
    cards = [card for visit in told(session) for card in visit.cards]
    moments = open_session(session).timeline.moments
    assert [card.line for card in cards] == [moment.line for moment in moments]
    expected = [svg(scene(picture(m.before)), doing(m.item)) for m in moments if m.entry is not None]
    drawn = [str(card.seen) for card in cards if card.seen][1:]  # the first: a day that is not open yet
    assert drawn == [one for one, _ in groupby(expected)]
    assert len(drawn) > 30


def test_mistakes_are_numbered_marked_and_listed(tmp_path: Path, demo: Kit) -> None:
    session = written(tmp_path / "one.jsonl", a_pair(demo, Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT))
    ((number, line, step, words),) = wrongs(told(session))
    assert (number, step) == (1, "measuring the pair")
    assert "slot cut on the centre line" in words
    seen = page_of(session, tmp_path)
    assert f"line-{line}" in seen.ids
    assert f"#line-{line}" in seen.addresses
    assert "✗ 1" in seen.text
    assert "OUTSIDE" in seen.text


def test_a_finished_lens_is_drawn_against_its_window_as_on_the_screen(tmp_path: Path, demo: Kit) -> None:
    session = written(tmp_path / "one.jsonl", a_pair(demo, Slip.SLOT_ON_CENTRE_LINE, Eye.LEFT))
    drawn = [
        card.gauges
        for visit in told(session)
        if visit.title.startswith("reading the finished lens")
        for card in visit.cards
    ]
    with_gauges = [gauges for gauges in drawn if gauges]
    assert len(with_gauges) == 4  # each lens once before the rescue and once after it
    assert sum("OUTSIDE" in gauge for gauges in with_gauges for gauge in gauges) == 1


def test_a_morning_s_mistakes_are_as_many_as_the_list_says(
    tmp_path: Path, kit: Kit, other_kit_folder: Path
) -> None:
    folder = other_kit_folder if kit.name != "Tamarind Coast boat clinic" else None
    session = written(tmp_path / "many.jsonl", a_morning(kit, 5, 3))
    (row,) = rows(open_session(session, folder))
    told_now = visits(Viewing.of(row, (), folder, None), clips_of(session))
    wrong = [card for visit in told_now for card in visit.cards if card.wrong]
    assert len(wrong) == row.mistakes
    numbers = [number for number, *_ in wrongs(told_now)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_a_session_in_another_language_is_told_in_both(tmp_path: Path) -> None:
    seen = page_of(SHIPPED / "14-said-in-swahili.jsonl", tmp_path)
    assert "The cylinder." in seen.text
    assert "Silinda." in seen.text
    assert seen.tags.count("audio") == sum("data:audio" in address for address in seen.addresses) > 10


def test_a_recording_that_is_gone_is_named(tmp_path: Path) -> None:
    session = Path(shutil.copy(SHIPPED / "14-said-in-swahili.jsonl", tmp_path))
    seen = page_of(session, tmp_path)
    assert "audio" not in seen.tags
    assert re.search(r"the recording \d+\.flac cannot be read", seen.text)


def test_notes_are_shown_and_escaped(tmp_path: Path, demo: Kit) -> None:
    session = written(tmp_path / "one.jsonl", a_pair(demo))
    write_note(session, open_session(session).lines[9], "look <here> & say why", 1.0)
    page = tmp_path / "page.html"
    write_page(session, page)
    assert "look &lt;here&gt; &amp; say why" in page.read_text("utf-8")


def test_what_another_standard_decides_stands_beside_it(tmp_path: Path, demo: Kit) -> None:
    other = next(name for name in ("iso_21987_2017", "ansi_z80_1_2015") if name != demo.standard)
    session, page = SHIPPED / "15-turned-in-rim.jsonl", tmp_path / "page.html"
    write_page(session, page, None, Other(f"standard {other}", lambda kit: with_standard(kit, other)))
    assert f"standard {other}" in page.read_text("utf-8")


def test_a_damaged_session_is_shown_as_far_as_it_goes_and_says_so(tmp_path: Path, demo: Kit) -> None:
    session = written(tmp_path / "one.jsonl", a_pair(demo))
    lines = session.read_bytes().splitlines(keepends=True)
    session.write_bytes(b"".join([*lines[:20], lines[20].replace(b'"at"', b'"At"', 1), *lines[21:]]))
    seen = page_of(session, tmp_path)
    assert "line 21 is not as it was written" in seen.text
    assert "line-20" in seen.ids
    assert "line-21" not in seen.ids
    session.write_bytes(b"")
    assert "the file holds no line" in page_of(session, tmp_path).text


def test_of_several_days_one_is_named(tmp_path: Path, demo: Kit) -> None:
    events = a_pair(demo)
    session = written(
        tmp_path / "two.jsonl", [*events, DayOpened(at=events[-1].at + 60000.0, date="2026-11-03")]
    )
    page = tmp_path / "page.html"
    with pytest.raises(ValueError, match="has 2 days; name one with --day: 2026-11-02, 2026-11-03"):
        write_page(session, page)
    with pytest.raises(ValueError, match="has no day 2026-11-04"):
        write_page(session, page, day="2026-11-04")
    write_page(session, page, day="2026-11-03")
    assert Seen(page.read_text("utf-8")).ids == {f"line-{len(events) + 1}"}


def test_a_missing_folder_is_made(tmp_path: Path) -> None:
    page = tmp_path / "for the trainer" / "monday" / "page.html"
    assert main(["replay", str(FILES[0]), "--page", str(page)]) == 0
    assert page.read_text("utf-8").startswith("<!doctype html>")
    assert [path.name for path in page.parent.iterdir()] == ["page.html"]


def test_a_place_that_is_none_for_a_page_is_refused_by_its_name(tmp_path: Path) -> None:
    with pytest.raises(RecordFailed, match="is a folder; a file to be written is wanted"):
        write_page(FILES[0], tmp_path)
    (tmp_path / "file").write_text("")
    with pytest.raises(RecordFailed, match="file: the disk refused while making this folder"):
        write_page(FILES[0], tmp_path / "file" / "page.html")


def test_the_command_writes_a_page_or_says_why_not(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "page.html"
    assert main(["replay", str(FILES[0]), "--page", str(page)]) == 0
    assert page.read_text("utf-8").startswith("<!doctype html>")
    for wrong, said in (
        ([str(SHIPPED), "--page", str(page)], "--page wants one session"),
        ([str(FILES[0]), "--page", str(page), "--summary"], "allowed is one of them"),
        ([str(FILES[0]), "--csv", str(page)], "without --summary"),
        ([str(FILES[0]), "--day", "2026-11-02"], "without --page"),
        ([str(tmp_path), "--summary"], "no session is there"),
    ):
        assert main(["replay", *wrong]) == 2, wrong
        assert said in capsys.readouterr().err


def _x(drawn: Scene, ink: Ink) -> list[float]:
    """Middles of a drawing's areas of one ink."""
    found = [shape.points for shape in drawn.shapes if isinstance(shape, Area) and shape.ink is ink]
    return [(max(x for x, _ in points) + min(x for x, _ in points)) / 2.0 for points in found]


def test_a_reading_lies_in_its_window_to_scale() -> None:
    drawn = gauge_drawing(Gauge("depth", "mm", 1.1, 0.8, 1.4, 1.0))
    (window,) = (shape.points for shape in drawn.shapes if isinstance(shape, Area) and shape.ink is Ink.GLASS)
    low, high = min(x for x, _ in window), max(x for x, _ in window)
    (dot,) = _x(drawn, Ink.LINE)
    assert (dot - low) / (high - low) == pytest.approx((1.1 - 0.8) / (1.4 - 0.8))
    assert "within 0.8 to 1.4" in {shape.text for shape in drawn.shapes if isinstance(shape, Label)}


def test_a_reading_outside_is_a_cross_beyond_the_window_and_says_so() -> None:
    drawn = gauge_drawing(Gauge("axis off", "°", 5.0, -2.0, 2.0, 0.0, within=False))
    (window,) = (shape.points for shape in drawn.shapes if isinstance(shape, Area) and shape.ink is Ink.GLASS)
    crosses = [s for s in drawn.shapes if isinstance(s, Stroke) and s.ink is Ink.WRONG]
    middle = sum(x for stroke in crosses for x, _ in stroke.points) / 4.0
    low, high = min(x for x, _ in window), max(x for x, _ in window)
    assert (middle - low) / (high - low) == pytest.approx((5.0 + 2.0) / 4.0)
    assert not _x(drawn, Ink.LINE)
    assert any(shape.text == "OUTSIDE -2 to +2" for shape in drawn.shapes if isinstance(shape, Label))


def test_times_say_in_words_what_is_over_its_budget_or_wrong() -> None:
    visits_spent = [
        Spent("cutting", 70.0, 50.0, True),
        Spent("dotting", None, 30.0, False),
        Spent("reading", 40.3, 40.0, False),
        Spent("trimming", 39.8, 40.0, False),
    ]
    said = [shape.text for shape in times_drawing(visits_spent).shapes if isinstance(shape, Label)]
    assert "✗ cutting" in said
    assert "70 s > budget" in said
    assert "40.3 s > budget" in said, "what is over its budget never looks as if it were not"
    assert "40 s" in said
    assert "dotting" in said
