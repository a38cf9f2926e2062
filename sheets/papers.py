"""All papers of a plan into a folder."""

from __future__ import annotations

from pathlib import Path

from ribway.models.plan.plan import Plan
from ribway.sheets.csv_tables import CSV_FILES

PDF_FILE = "papers.pdf"


def write_papers(plan: Plan, folder: Path) -> tuple[Path, ...]:
    """Write the papers: four tables as CSV, and everything as one PDF.

    Args:
        plan: the plan; an unfinished one is marked NOT READY on each page and in each line.
        folder: where to; it exists.

    Returns:
        The files written.

    Raises:
        OSError: a file cannot be written.
    """
    from ribway.sheets.pdf_file import pdf_bytes  # reportlab takes a tenth of a second, and only papers need it

    texts = {name: make(plan) for name, make in CSV_FILES.items()}
    pdf = pdf_bytes(plan)
    written = []
    for name, text in texts.items():
        written.append(folder / name)
        written[-1].write_bytes(text.encode("utf-8"))
    written.append(folder / PDF_FILE)
    written[-1].write_bytes(pdf)
    return tuple(written)
