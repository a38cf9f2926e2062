"""All papers of a plan into a folder."""

from __future__ import annotations

from pathlib import Path

from ribway.models.plan.plan import Plan
from ribway.sheets.assumed_csv import ASSUMED_CSV_FILES
from ribway.sheets.csv_tables import CSV_FILES
from ribway.sheets.sticker_grid import Grid

PDF_FILE = "papers.pdf"


def write_papers(plan: Plan, folder: Path, grid: Grid | None = None, every_hole: bool = False) -> tuple[Path, ...]:
    """Write the papers: tables as CSV, and everything as one PDF, and stickers for the holes.

    Args:
        plan: the plan; an unfinished one is marked NOT READY on each page and in each line.
        folder: where to; it exists.
        grid: stickers on a sheet; 3 by 8 if None.
        every_hole: stickers for all holes, not for those in use alone.

    Returns:
        The files written.

    Raises:
        OSError: a file cannot be written.
    """
    from ribway.sheets import stickers
    from ribway.sheets.pdf_file import pdf_bytes  # reportlab takes a tenth of a second, and only papers need it

    texts = {name: make(plan) for name, make in (CSV_FILES | ASSUMED_CSV_FILES).items()}
    texts[stickers.CSV_FILE] = stickers.stickers_csv(plan, every_hole)
    pdfs = {PDF_FILE: pdf_bytes(plan), stickers.PDF_FILE: stickers.stickers_pdf(plan, grid or Grid(), every_hole)}
    written = []
    for name, text in texts.items():
        written.append(folder / name)
        written[-1].write_bytes(text.encode("utf-8"))
    for name, pdf in pdfs.items():
        written.append(folder / name)
        written[-1].write_bytes(pdf)
    return tuple(written)
