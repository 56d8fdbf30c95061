"""The helpers' pictures in the board's page: `python -m assistant.hub.page_signs` writes them into it."""

import sys
from pathlib import Path
from typing import Final

from assistant.ui.pictures.signs import SIGNS
from assistant.ui.svg import symbol

PAGE: Final = Path(__file__).with_name("page") / "board.html"
BEGIN: Final = "<!-- signs, written by assistant.hub.page_signs -->"
END: Final = "<!-- end of signs -->"
SIDE: Final = 32.0


def with_signs(page: str) -> str:
    """The page with the signs as they are now. Raises `ValueError` where it has no place for them."""
    before, begin, rest = page.partition(BEGIN)
    _, end, after = rest.partition(END)
    if not (begin and end):
        raise ValueError(f"the page has no place for the signs between {BEGIN!r} and {END!r}")
    drawn = "\n".join(symbol(f"sign-{number}", sign, SIDE) for number, sign in enumerate(SIGNS, 1))
    return f"{before}{BEGIN}\n{drawn}\n{END}{after}"


if __name__ == "__main__":
    PAGE.write_text(with_signs(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    sys.exit(0)
