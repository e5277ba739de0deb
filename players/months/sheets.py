"""A sheet of A4: lines of words, tables and pictures one beneath the other, as SVG, and sheets as one PDF.

The converter that makes the plans' cards makes these as well: it brings its own letters (Liberation Sans, with the
minus and every accent that names have), so that no library for PDF and no font has to come along for a page that
is lines and a few columns. Everything is ink or a shade of grey.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from html import escape

import vl_convert
from pypdf import PdfReader, PdfWriter

WIDE, TALL = 595, 842
"""A4 in points (ISO 216: 210 by 297 mm)."""
EDGE, TOP, BOTTOM = 48.0, 60.0, 790.0
INK, SOFT, LINE = "#1a1a1a", "#555555", "#bbbbbb"
LETTER = 0.5
"""About the width of a letter for its height; lines are broken a little early rather than late."""
BOLD_LETTER = 0.58


ROW = 15.0
"""From a row of a table to the next."""
PICTURE = 222.0
"""The most that a picture is tall: three stand on a page."""


class Sheet:
    """Filled from above, and gone on with on another page where one is full."""

    def __init__(self, foot: str) -> None:
        self._foot = foot
        self._pages: list[list[str]] = [[]]
        self._y = TOP

    def title(self, words: str, beneath: str) -> None:
        """Of one line, in smaller letters for a long name."""
        size = min(19.0, (WIDE - 2 * EDGE) / (BOLD_LETTER * len(words)))
        self._text(EDGE, self._y, words, round(size, 1), INK, bold=True)
        self._text(EDGE, self._y + 16, beneath, 10, SOFT)
        self._y += 40

    def heading(self, words: str) -> None:
        self._needs(23 + 2 * ROW)
        self._y += 8
        self._text(EDGE, self._y, words, 11.5, INK, bold=True)
        self._y += 15

    def says(self, words: str, *, soft: bool = False) -> None:
        """A paragraph."""
        size = 9.0 if soft else 9.8
        for row in textwrap.wrap(words, int((WIDE - 2 * EDGE) / (LETTER * size))):
            self._needs(size)
            self._text(EDGE, self._y, row, size, SOFT if soft else INK)
            self._y += size * 1.4
        self._y += 2

    def table(self, columns: Sequence[tuple[str, float]], rows: Sequence[Sequence[str]]) -> None:
        """Columns by name, each with where it begins, as a share of the width."""
        places = [EDGE + share * (WIDE - 2 * EDGE) for _, share in columns]
        names = [name for name, _ in columns]
        self._heads(names, places)
        for row in rows:
            if self._needs(ROW):
                self._heads(names, places)
            across = f'x1="{EDGE}" x2="{WIDE - EDGE}" y1="{self._y}" y2="{self._y}"'
            self._pages[-1].append(f'<line {across} stroke="{LINE}" stroke-width="0.5"/>')
            for words, x in zip(row, places, strict=True):
                self._text(x, self._y + 11, words, 9, INK)
            self._y += ROW
        self._y += 10

    def _heads(self, names: Sequence[str], places: Sequence[float]) -> None:
        for name, x in zip(names, places, strict=True):
            self._text(x, self._y, name, 8, SOFT)
        self._y += 4

    def picture(self, svg: str, wide: float, tall: float) -> None:
        """A drawing of its own size, as large as the page allows."""
        scale = min(1.0, (WIDE - 2 * EDGE) / wide, PICTURE / tall)
        self._needs(tall * scale)
        self._pages[-1].append(f'<g transform="translate({EDGE} {self._y}) scale({scale:.4f})">{svg}</g>')
        self._y += tall * scale + 10

    def pages(self) -> list[str]:
        """As SVG, each with the foot."""
        foot = _written(EDGE, TALL - 28, self._foot, 7.5, SOFT)
        return [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}" height="{TALL}" viewBox="0 0 {WIDE} {TALL}">'
            f'<rect width="{WIDE}" height="{TALL}" fill="#ffffff"/>{"".join(parts)}{foot}</svg>'
            for parts in self._pages
        ]

    def _needs(self, tall: float) -> bool:
        """Whether another page was begun for it."""
        if self._y + tall <= BOTTOM:
            return False
        self._pages.append([])
        self._y = TOP
        return True

    def _text(self, x: float, y: float, words: str, size: float, colour: str, *, bold: bool = False) -> None:
        self._pages[-1].append(_written(x, y, words, size, colour, bold=bold))


def _written(x: float, y: float, words: str, size: float, colour: str, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="Liberation Sans, sans-serif" font-size="{size}" '
        f'fill="{colour}"{weight}>{escape(words)}</text>'
    )


def cut(words: str, wide: float) -> str:
    """As much of a name as goes into a column of this share of the width."""
    most = int(wide * (WIDE - 2 * EDGE) / (LETTER * 9))
    return words if len(words) <= most else f"{words[: most - 1]}…"


def as_pdf(sheets: Sequence[Sheet], title: str) -> bytes:
    writer = PdfWriter()
    for drawn in (page for sheet in sheets for page in sheet.pages()):
        page = writer.add_page(PdfReader(io.BytesIO(vl_convert.svg_to_pdf(drawn))).pages[0])
        page.scale_to(WIDE, TALL)
        page.compress_content_streams()  # the converter writes lines and letters as plain text
    writer.compress_identical_objects()  # and each page with letters of its own
    writer.add_metadata({"/Title": title})
    written = io.BytesIO()
    writer.write(written)
    return written.getvalue()
