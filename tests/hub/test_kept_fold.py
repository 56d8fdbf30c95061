"""The fold kept on disk: a start from it is a start from the lines; whatever does not fit is passed over."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from clinics import Clinic

from assistant.hub import hub as hub_module
from assistant.hub.hub import Hub
from assistant.hub.kept_fold import kept
from assistant.hub.protocol import kit_mark
from assistant.hub.store import Store, StoredLine
from assistant.hub.story import Story, continued
from assistant.kit.profile import Kit
from assistant.workflow.events import Event


@pytest.fixture
def clinic(tmp_path: Path, kit: Kit) -> Iterator[Clinic]:
    """A morning with a pair made, one in the making, and one not begun."""
    made = Clinic(tmp_path / "board.sqlite", kit)
    for name, until in (("heron", "order"), ("crab", "cut"), ("turtle", "fetch")):
        made.planned(name)
        made.bench(name).until(until)
        made.send(name)
    yield made
    made.store.close()


@pytest.fixture
def folded(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Every line that a hub folds from here on, by number."""
    seen: list[int] = []

    def counting(story: Story, seq: int, event: Event) -> Story:
        seen.append(seq)
        return continued(story, seq, event)

    monkeypatch.setattr("assistant.hub.hub.continued", counting)
    return seen


def fold_file(clinic: Clinic) -> Path:
    assert clinic.store.fold_path is not None
    return clinic.store.fold_path


def told(hub: Hub) -> object:
    view = hub.view()
    return (
        hub.stories,
        hub.bank.ledger.there.tolist(),
        hub.bank.ledger.differences,
        view.today,
        view.questions,
    )


def test_a_start_from_what_was_kept_folds_nothing_and_is_the_same(clinic: Clinic, folded: list[int]) -> None:
    before = told(clinic.hub)
    clinic.hub.keep()
    clinic.restart()
    assert folded == []
    assert told(clinic.hub) == before


def test_lines_after_it_are_folded_on_top(clinic: Clinic, folded: list[int]) -> None:
    clinic.hub.keep()
    clinic.bench("crab").until("order")
    clinic.send("crab")
    before = told(clinic.hub)
    clinic.restart()
    assert 0 < len(folded) < 40
    assert told(clinic.hub) == before
    fold_file(clinic).unlink()
    clinic.restart()
    assert told(clinic.hub) == before


def test_work_goes_on_from_it(clinic: Clinic) -> None:
    clinic.hub.keep()
    clinic.restart()
    for name in ("heron", "crab", "turtle"):
        clinic.bench(name).until("order")
        clinic.send(name)
        assert clinic.hub.stories[name].bench == clinic.bench(name).bench
    stock = clinic.hub.stories["crab"].bench.stock
    assert not stock.there.flags.writeable
    assert stock.bank is clinic.kit.bank


def torn(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-7])


def changed(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def empty(path: Path) -> None:
    path.write_bytes(b"")


def others_may_write(path: Path) -> None:
    path.chmod(0o622)


@pytest.mark.parametrize("spoil", [torn, changed, empty, others_may_write])
def test_a_file_that_is_not_whole_or_not_safe_is_passed_over(
    clinic: Clinic, folded: list[int], spoil: Callable[[Path], None]
) -> None:
    before = told(clinic.hub)
    clinic.hub.keep()
    spoil(fold_file(clinic))
    clinic.restart()
    assert len(folded) > 60
    assert told(clinic.hub) == before


def test_another_kits_fold_is_passed_over(clinic: Clinic) -> None:
    clinic.hub.keep()
    other = replace(clinic.kit, name="another")
    assert kept(clinic.store, clinic.kit, clinic.hub.mark) is not None
    assert kept(clinic.store, other, kit_mark(other)) is None


def test_the_fold_of_other_lines_is_passed_over(clinic: Clinic, folded: list[int]) -> None:
    """The database was put back as it was yesterday."""
    clinic.hub.keep()
    known = list(clinic.store.lines("crab"))
    clinic.store.forget("crab")
    clinic.store.add_lines(known[:-3])
    clinic.restart()
    assert clinic.hub.stories["crab"].seq == len(known) - 3
    assert len(folded) > 60


def test_forgetting_a_bench_does_not_bring_it_back(clinic: Clinic) -> None:
    clinic.hub.keep()
    clinic.hub.forget("crab")
    clinic.restart()
    assert "crab" not in clinic.hub.stories or clinic.hub.stories["crab"].seq == 0


def test_it_is_kept_every_so_many_lines_and_a_full_disk_is_said(
    clinic: Clinic, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(hub_module, "KEEP_EVERY", 5)
    clinic.bench("crab").until("order")
    clinic.send("crab")
    assert fold_file(clinic).stat().st_mode & 0o777 == 0o600
    monkeypatch.setattr(clinic.store, "fold_path", Path("/proc/no/such/folder.fold"))
    clinic.bench("turtle").until("order")
    clinic.send("turtle")
    assert "cannot keep its fold" in clinic.hub.view().trouble
    assert clinic.hub.stories["turtle"].bench == clinic.bench("turtle").bench


def test_nothing_is_kept_for_a_database_elsewhere() -> None:
    store = Store("sqlite://")
    assert store.fold_path is None
    store.add_lines([StoredLine("heron", 1, 0.0, b"x")])
    store.close()
