"""Tables as CSV and HTML: everything in them, and nothing that runs."""

import csv

from assistant.ui.sheets import Section, csv_of, html_of

PAIRS = Section("Pairs", ("made", "why"), ((3, '=HYPERLINK("x")'), (-1, "+0.25 <D>"), ("-2", "@a")))


def test_csv_holds_every_table_under_its_title_and_no_formula() -> None:
    rows = list(csv.reader(csv_of([PAIRS, Section("None", ("a",), ())]).splitlines()))
    assert rows == [
        ["Pairs"],
        ["made", "why"],
        ["3", '\'=HYPERLINK("x")'],
        ["-1", "+0.25 <D>"],
        ["-2", "'@a"],
        [],
        ["None"],
        ["a"],
        [],
    ]


def test_html_escapes_what_it_is_given() -> None:
    html = html_of(PAIRS)
    assert "<th>why</th>" in html
    assert "<td>+0.25 &lt;D&gt;</td>" in html


def test_an_empty_table_says_so() -> None:
    assert html_of(Section("Lost & found", ("a",), ())) == "<h2>Lost &amp; found</h2><p>None.</p>"
