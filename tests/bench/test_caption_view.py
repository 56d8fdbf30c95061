"""Sentences under the picture: none is cut off, however many there are."""

import asyncio
from pathlib import Path

import pytest
from benches import key, opened
from textual.widgets import Static

from assistant.bench import caption_view
from assistant.bench.caption_view import ROWS, CaptionView, pages

SENTENCES = tuple(f"Number {n}. That is not the lens; put it aside and look at the pocket." for n in range(9))


@pytest.mark.parametrize("columns", [20, 40, 78, 200])
@pytest.mark.parametrize("rows", [1, 2, 5, 7])
def test_every_word_stands_on_some_page(columns: int, rows: int) -> None:
    made = pages("\n".join(SENTENCES), columns, rows)
    assert all(len(page.split("\n")) <= rows for page in made)
    assert all(len(line) <= columns for page in made for line in page.split("\n"))
    marks = [f"({n}/{len(made)})" for n in range(1, len(made) + 1)]
    words = " ".join(made).split()
    assert [word for word in words if word not in marks] == " ".join(SENTENCES).split()


def test_what_fits_is_left_alone() -> None:
    assert pages("One.\n\nTwo.", 78, ROWS) == ("One.\n\nTwo.",)


def test_a_sentence_is_not_torn_where_it_can_be_whole() -> None:
    first, second = pages("a\nb\n" + "word " * 20, 40, 4)
    assert first == "a\nb (1/2)"
    assert second.startswith("word")


async def test_a_long_telling_turns_by_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(caption_view, "PAGE_S", 0.05)
    app = opened(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        view = app.screen.query_one("#caption", CaptionView)
        view.tell("\n".join(SENTENCES))
        seen: set[str] = set()
        for _ in range(400):
            seen.add(shown(view))
            if len(seen) == len(pages("\n".join(SENTENCES), 78, ROWS)):
                break
            await asyncio.sleep(0.02)
        assert seen == set(pages("\n".join(SENTENCES), 78, ROWS))
        await key(pilot, "3")
        assert "language" in shown(view), "the next step's sentence takes its place at once"


def shown(view: Static) -> str:
    return str(view.render())
