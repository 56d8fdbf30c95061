"""Pictures as PNG sheets to look at: `python tests/ui/look.py DIR [mode] [columns] [rows] [name-part]`."""

import sys
from pathlib import Path

import cairosvg

from assistant.ui.canvas import Cells, draw
from assistant.ui.gallery import gallery
from assistant.ui.glyphs import COLOURS, Glyphs
from assistant.ui.pictures import scene

WIDE, HIGH = 8, 16


def svg(sheets: list[tuple[str, Cells]], glyphs: Glyphs, across: int) -> str:
    columns, rows = len(sheets[0][1][0]), len(sheets[0][1])
    tile = (columns * WIDE + 16, rows * HIGH + 32)
    down = -(-len(sheets) // across)
    parts = ['<rect width="100%" height="100%" fill="#101418"/>']
    for place, (name, cells) in enumerate(sheets):
        x, y = (place % across) * tile[0] + 8, (place // across) * tile[1] + 8
        parts.append(f'<text x="{x}" y="{y + 12}" fill="#888" font-size="12">{name}</text>')
        parts.append(
            f'<rect x="{x}" y="{y + 16}" width="{columns * WIDE}" height="{rows * HIGH}" fill="#000"/>'
        )
        parts.extend(_cells(cells, glyphs, x, y + 16))
    size = f'width="{tile[0] * across}" height="{tile[1] * down}"'
    body = "".join(parts)
    root = f'<svg xmlns="http://www.w3.org/2000/svg" {size}'
    return f'{root} font-family="DejaVu Sans Mono" font-size="13.3">{body}</svg>'


def _cells(cells: Cells, glyphs: Glyphs, left: int, top: int) -> list[str]:
    parts: list[str] = []
    for row, line in enumerate(cells):
        for column, cell in enumerate(line):
            x, y = left + column * WIDE, top + row * HIGH
            if cell.ground:
                fill = COLOURS[glyphs][cell.ground]
                parts.append(
                    f'<rect x="{x}" y="{y}" width="{WIDE + 0.2}" height="{HIGH + 0.2}" fill="{fill}"/>'
                )
            if cell.char != " ":
                parts.extend(_glyph(cell.char, COLOURS[glyphs][cell.ink] if cell.ink else "#fff", x, y))
    return parts


def _glyph(char: str, fill: str, x: int, y: int) -> list[str]:
    """Braille and blocks drawn as a terminal draws them, other characters as text."""
    code = ord(char)
    if 0x2800 <= code < 0x2900:
        places = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
        return [
            f'<circle cx="{x + 2 + 4 * px}" cy="{y + 2 + 4 * py}" r="1.5" fill="{fill}"/>'
            for bit, (px, py) in enumerate(places)
            if (code - 0x2800) >> bit & 1
        ]
    quarters = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█".find(char)
    if quarters > 0:
        return [
            f'<rect x="{x + 4 * (q % 2)}" y="{y + 8 * (q // 2)}" width="4.2" height="8.2" fill="{fill}"/>'
            for q in range(4)
            if quarters >> q & 1
        ]
    safe = char.replace("&", "&amp;").replace("<", "&lt;")
    return [f'<text x="{x}" y="{y + 12.5}" fill="{fill}">{safe}</text>']


def main(arguments: list[str]) -> None:
    folder = Path(arguments[0])
    glyphs = Glyphs(arguments[1]) if len(arguments) > 1 else Glyphs.TRUECOLOR
    columns, rows = (int(a) for a in arguments[2:4]) if len(arguments) > 3 else (78, 16)
    part = arguments[4] if len(arguments) > 4 else ""
    drawn = [
        (name, draw(scene(picture), columns, rows, glyphs))
        for name, picture in gallery().items()
        if part in name
    ]
    folder.mkdir(parents=True, exist_ok=True)
    across = max(1, 1900 // (columns * WIDE))
    per_sheet = across * max(1, 1500 // (rows * HIGH + 32))
    for sheet, first in enumerate(range(0, len(drawn), per_sheet)):
        target = folder / f"{glyphs}-{columns}x{rows}-{sheet}.png"
        picture = svg(drawn[first : first + per_sheet], glyphs, across)
        cairosvg.svg2png(bytestring=picture.encode(), write_to=str(target))
        print(target)


if __name__ == "__main__":
    main(sys.argv[1:])
