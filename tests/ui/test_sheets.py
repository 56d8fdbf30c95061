"""Tables as CSV and HTML: everything in them, and nothing that runs."""

import csv
import io

import pytest

from assistant.ui.sheets import Section, csv_of, html_of

PAIRS = Section("Pairs", ("made", "why"), ((3, '=HYPERLINK("x")'), (-1, "+0.25 <D>"), ("-2", "@a")))


def test_csv_holds_every_table_under_its_title_and_no_formula() -> None:
    rows = list(csv.reader(csv_of([PAIRS, Section("None", ("a",), ())]).splitlines()))
    assert rows == [
        ["Pairs"],
        ["made", "why"],
        ["3", '\'=HYPERLINK("x")'],
        ["-1", "'+0.25 <D>"],
        ["-2", "'@a"],
        [],
        ["None"],
        ["a"],
        [],
    ]


@pytest.mark.parametrize(
    "cell",
    ["=1+1", "@SUM(A1)", "+1+cmd|' /C calc'!A0", "-2+3", "\t=1", "\r=1", " =1", "+", "+0.25 D+1", "-1e9"],
)
def test_text_that_begins_like_a_formula_is_text(cell: str) -> None:
    rows = list(csv.reader(io.StringIO(csv_of([Section("T", ("a",), ((cell,),))]), newline="")))
    assert rows[2] == [f"'{cell}"]


@pytest.mark.parametrize("cell", ["+0.25", "-12.00", "-2", "2026-11-02", "heron", "", "a=b", 3, -1.5])
def test_figures_and_plain_text_stay_as_they_are(cell: object) -> None:
    rows = list(csv.reader(csv_of([Section("T", ("a",), ((cell,),))]).splitlines()))
    assert rows[2] == ([str(cell)] if cell != "" else [""])


def test_html_escapes_what_it_is_given() -> None:
    html = html_of(PAIRS)
    assert "<th>why</th>" in html
    assert "<td>+0.25 &lt;D&gt;</td>" in html


def test_an_empty_table_says_so() -> None:
    assert html_of(Section("Lost & found", ("a",), ())) == "<h2>Lost &amp; found</h2><p>None.</p>"
