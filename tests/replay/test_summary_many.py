"""Many sessions together: added up the same in any order and on any number of processes; damage is named."""

import csv
import shutil
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import numpy as np
import pytest
from recorded import a_morning, a_pair, written

from assistant.journal.errors import RecordFailed
from assistant.kit.profile import Kit, NasalIndex
from assistant.optics.eye import Eye
from assistant.optics.patterns import AxisError, PatternCode
from assistant.practice.helper import VirtualHelper
from assistant.practice.people import person
from assistant.practice.run import opened
from assistant.practice.slips import CAREFUL
from assistant.replay import summary_files
from assistant.replay.listing import session_files
from assistant.replay.summary import Summary, spread, summed
from assistant.replay.summary_facts import Facts, facts_of
from assistant.replay.summary_files import Sorted, all_told, sorted_out, told_by
from assistant.replay.summary_page import summary_page
from assistant.replay.summary_report import report
from assistant.replay.summary_tables import sections
from assistant.ui.sheets import Section

SHIPPED = Path(__file__).parents[2] / "demo_sessions"
MADE_AT = datetime(2026, 11, 3, 18, 0, tzinfo=UTC)


def told(folder: Path, processes: int = 1, own_kit: Path | None = None) -> Sorted:
    return sorted_out(all_told(session_files(folder), own_kit, processes, lambda *_: None))


def tables(found: Sorted, kit: Kit) -> dict[str, Section]:
    summary = summed(found.used)
    made = sections(summary, kit.time_budget_s, summary.patterns(), found.troubles, every_helper=True)
    return {section.title.partition(" (")[0].partition(":")[0]: section for section in made}


def test_the_order_of_sessions_does_not_matter(kit: Kit) -> None:
    facts = [facts_of(kit, "crab", a_morning(kit, seed, 2)) for seed in range(4)]
    one, other = summed(facts), summed(reversed(facts))
    assert one.shares == other.shares
    assert [one.step_time(step) for step in one.steps] == [other.step_time(step) for step in other.steps]
    assert (one.wrong, one.lost, one.rescues_held) == (other.wrong, other.lost, other.rescues_held)


def test_several_processes_tell_what_one_tells(monkeypatch: pytest.MonkeyPatch, demo: Kit) -> None:
    monkeypatch.setattr(summary_files, "FEW", 0)
    monkeypatch.setattr(summary_files, "AT_A_TIME", 4)
    alone, together = told(SHIPPED), told(SHIPPED, processes=2)
    assert tables(alone, demo) == tables(together, demo)


def test_medians_and_quartiles_are_those_of_all_visits() -> None:
    seconds = [Random(n).uniform(1.0, 90.0) for n in range(101)]
    found = spread(seconds)
    ordered = sorted(seconds)
    assert (found.visits, found.low_s, found.median_s, found.high_s) == (
        101,
        ordered[25],
        ordered[50],
        ordered[75],
    )


def test_the_shares_of_helpers_add_up_to_those_of_steps(demo: Kit) -> None:
    summary = summed(told(SHIPPED).used)
    whole = summary.share()
    assert whole.done == sum(summary.share(who=who).done for who in summary.helpers)
    assert whole.first_try == sum(summary.share(step).first_try for step in summary.steps)
    assert summary.share("verdict").first_try == summary.passed


def test_damaged_torn_and_empty_sessions_are_named_and_the_rest_is_summed(tmp_path: Path, demo: Kit) -> None:
    for seed in range(3):
        written(tmp_path / f"{seed}.jsonl", a_pair(demo, seed=seed))
    lines = (tmp_path / "1.jsonl").read_bytes().splitlines(keepends=True)
    lines[20] = lines[20].replace(b'"at"', b'"At"', 1)
    (tmp_path / "1.jsonl").write_bytes(b"".join(lines))
    (tmp_path / "2.jsonl").write_bytes((tmp_path / "2.jsonl").read_bytes()[:-9])
    (tmp_path / "3.jsonl").write_bytes(b"")
    (tmp_path / "4.jsonl").write_bytes(b"no record\n")
    found = told(tmp_path)
    assert len(found.used) == 3
    named = {path.name: what for path, what in found.troubles}
    assert set(named) == {"1.jsonl", "2.jsonl", "3.jsonl", "4.jsonl"}
    assert named["1.jsonl"].startswith("line 21 ")
    assert tables(found, demo)["Sessions"].rows[0] == ("sessions", 3)


def test_of_copies_of_one_record_only_the_longest_counts(tmp_path: Path, demo: Kit) -> None:
    events = a_pair(demo)
    written(tmp_path / "a-monday.jsonl", events[:20])
    written(tmp_path / "b-friday.jsonl", events)
    shutil.copy(tmp_path / "b-friday.jsonl", tmp_path / "c-copy.jsonl")
    found = told(tmp_path)
    assert len(found.used) == 1
    assert found.used[0].passed == 1
    assert [path.name for path, _ in found.troubles] == ["a-monday.jsonl", "c-copy.jsonl"]
    assert all("is a copy of" in what for _, what in found.troubles)


def test_a_session_of_another_kit_is_left_out_and_named(
    tmp_path: Path, other_kit: Kit, other_kit_folder: Path
) -> None:
    path = written(tmp_path / "other.jsonl", a_pair(other_kit, seed=3))
    assert told_by(path).facts is None
    assert "made with another kit" in told_by(path).troubles[0]
    assert told_by(path, other_kit_folder).troubles == ()
    shutil.copytree(other_kit_folder, tmp_path / "kit")
    summary_files._kit_for.cache_clear()
    assert told_by(path).troubles == ()


def test_a_kit_beside_them_that_cannot_be_read_is_named(tmp_path: Path, demo: Kit) -> None:
    path = written(tmp_path / "one.jsonl", a_pair(demo))
    (tmp_path / "kit").mkdir()
    (tmp_path / "kit" / "kit.toml").write_text("name = 3\n")
    found = told_by(path)
    assert found.facts is None
    assert "kit.toml" in found.troubles[0]


def _off(kit_fault_deg: float, spread_deg: float, seed: int = 1) -> Facts:
    """Thirty pairs of a bench whose right axes are off one way and left axes the other."""
    chance = Random(seed)
    errors = [
        AxisError(eye, sign * kit_fault_deg + chance.gauss(0.0, spread_deg), "heron", 2, float(n))
        for n in range(30)
        for eye, sign in ((Eye.RIGHT, -1.0), (Eye.LEFT, 1.0))
    ]
    return Facts("heron", axis_errors=errors)


def test_patterns_stand_in_the_tables_with_evidence_and_how_sure(demo: Kit) -> None:
    (row,) = tables(Sorted((_off(5.7, 1.0),), ()), demo)["Patterns"].rows
    assert row[0] == "heron"
    assert "Kit fault" in str(row[2])
    assert "60 lenses" in str(row[3])
    assert row[4] == "over 99.9 %"
    assert tables(Sorted((_off(0.0, 1.0),), ()), demo)["Patterns"].rows == ()


def test_a_protractor_drawn_otherwise_than_the_kit_says_is_found_in_its_sessions(kit: Kit) -> None:
    """The bench reckons with one place of the nasal index; the protractor in the virtual hands has the other."""
    told_index = kit.protractor.nasal_index
    drawn = next(index for index in NasalIndex if index is not told_index)
    in_hand = replace(kit, protractor=replace(kit.protractor, nasal_index=drawn))
    facts = []
    for seed in range(14):
        turns = opened(
            kit, VirtualHelper(in_hand, seed, CAREFUL, sign=2), seed, 1e9 + 86_400.0 * seed, "2026-11-02"
        )
        turns.make(person(kit, Random(seed), f"{seed + 1}"))
        facts.append(facts_of(kit, "heron", turns.events))
    (found,) = summed(facts).patterns()
    assert found.code is PatternCode.INDEX_NOT_AT_PIN
    assert abs(found.amount_deg) == pytest.approx(kit.pin_depression_deg, abs=0.6)
    assert found.lenses <= sum(done.step == "cut" for one in facts for done in one.finished)


def test_the_page_needs_nothing_else_and_escapes_names(demo: Kit) -> None:
    found = told(SHIPPED)
    summary = summed([*found.used, Facts("<b>&"), _off(5.7, 1.0)])
    made = sections(summary, demo.time_budget_s, summary.patterns(), [(Path("<i>"), "x & y")], True)
    page = summary_page("a <folder>", MADE_AT, summary, made, demo.time_budget_s)
    assert page.count("<svg") == 3
    assert "http" not in page
    assert "src=" not in page
    assert "<script" not in page
    assert "<i>" not in page
    assert "x &amp; y" in page
    assert "a &lt;folder&gt;" in page


def test_a_summary_of_nothing_still_makes_tables_and_a_page(demo: Kit) -> None:
    made = tables(Sorted((), ()), demo)
    assert made["Sessions"].rows[0] == ("sessions", 0)
    assert "0 sessions" in summary_page("empty", MADE_AT, Summary(), tuple(made.values()), {})


def test_the_report_prints_and_writes_whole_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table, page = tmp_path / "all.csv", tmp_path / "all.html"
    report(SHIPPED, None, table, page)
    printed = capsys.readouterr()
    assert "Lenses rescued" in printed.out
    assert "a second slot cut" in printed.out
    assert str(table) in printed.err
    rows = list(csv.reader(table.read_text("utf-8").splitlines()))
    sessions = len(session_files(SHIPPED))
    assert ["sessions", str(sessions)] in rows
    assert page.read_text("utf-8").startswith("<!doctype html>")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["all.csv", "all.html"]


def test_a_folder_without_sessions_is_refused(tmp_path: Path) -> None:
    for where in (tmp_path, tmp_path / "nowhere"):
        with pytest.raises(RecordFailed, match="no session is there"):
            report(where, None, None, None)


def test_a_file_that_cannot_be_written_is_refused_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(RecordFailed, match="writing the file"):
        report(SHIPPED, None, tmp_path / f"{'long' * 100}.csv", None)


def test_quartiles_agree_with_numpy(demo: Kit) -> None:
    facts = [facts_of(demo, "crab", a_morning(demo, seed, 2)) for seed in range(3)]
    summary = summed(facts)
    for step in summary.steps:
        seconds = [one.seconds for fact in facts for one in fact.finished if one.step == step]
        assert summary.step_time(step).median_s == pytest.approx(float(np.median(seconds)))
