"""``ribway survey``: a mesh of a van as a draft project."""

from __future__ import annotations

import argparse
import os
from dataclasses import dataclass
from pathlib import Path

from ribway.commands.new import METRIC, files_of
from ribway.drafts import consequences, read_draft, save_draft
from ribway.editing.saving import ChangedOnDiskError
from ribway.models.file_kinds import PROJECT_FILE
from ribway.models.review.answers import answered, read_answers_file
from ribway.models.review.found import FOUND_FILE, found_text
from ribway.models.survey_answers import SURVEY_FILE, SurveyAnswers, read_answers
from ribway.outputs import check_folder, publish
from ribway.router.shell.build import build
from ribway.router.shell.errors import ShellError
from ribway.router.shell.mesh_file import export_parts
from ribway.router.shell.tape import tape_shell
from ribway.router.survey.draft import SHELL_FILE, answers_text, project_text, report_lines
from ribway.router.survey.found_file import found_of
from ribway.router.survey.scan.draft import tape_of
from ribway.router.survey.survey import Survey, shell_of_survey, survey_file
from ribway.speech import BAD_INPUT, GOOD, say

ROWS = 40


@dataclass(frozen=True)
class _Asked:
    """What to survey, and what is known of it."""

    mesh: Path
    answers: SurveyAnswers


def run(args: argparse.Namespace) -> int:
    """Survey a mesh, say what was found, and write what was asked for.

    Args:
        args: ``mesh``, ``out``, ``picture``.

    Returns:
        The exit code: bad input if the mesh cannot be used.
    """
    if args.answers is not None:
        return _answer(args)
    if args.picture is not None and args.picture.suffix.lower() != ".png":
        say(f"ribway survey: {args.picture} is no .png file: pictures are written as PNG")
        return BAD_INPUT
    if args.picture is not None and not args.picture.absolute().parent.is_dir():
        say(f"ribway survey: there is no folder {args.picture.parent} to draw into")
        return BAD_INPUT
    if args.out is not None:
        check_folder(args.out)
    asked = _asked(args.mesh)
    try:
        survey = survey_file(asked.mesh, asked.answers)
    except ShellError as error:
        say(error)
        return BAD_INPUT
    for line in report_lines(survey):
        print(line)
    if args.picture is not None:
        _draw(survey, args.picture, asked.mesh.name)
        print(f"drawn to {args.picture}")
    if args.out is None:
        return GOOD
    if not survey.skins and survey.scan is None:
        say(f"{asked.mesh}: no skin was found, so there is no project to draft: correct unit, up and forward")
        return BAD_INPUT
    publish(args.out, lambda folder: _write(survey, asked, args.out, folder))
    print(f"drafted in {args.out}: look at {SURVEY_FILE} first, then fill in equipment.xlsx")
    return GOOD


def _answer(args: argparse.Namespace) -> int:
    """Put what was ticked and typed on a draft's page into the draft."""
    if args.out is not None or args.picture is not None:
        say("ribway survey: --answers changes a draft and goes without --out and --picture")
        return BAD_INPUT
    draft = read_draft(args.mesh)
    review = answered(draft.review, read_answers_file(args.answers))
    begun, before = draft, draft.review
    try:
        draft, backup = save_draft(draft, review)
    except ChangedOnDiskError as error:
        say(error)
        return BAD_INPUT
    changed = sum(old != new for old, new in zip(before.holes, review.holes, strict=True))
    counts = draft.review.counts()
    print(f"{changed} of {len(review.holes)} openings changed: {counts['open']} to look at, {counts['confirmed']} confirmed, "
          f"{counts['deleted']} deleted")  # fmt: skip
    for line in consequences(begun, review):
        print(line)
    if backup is not None:
        print(f"written to {draft.file}, the file before is {backup.name}")
    return GOOD


def _asked(path: Path) -> _Asked:
    """A mesh file, or a survey.yaml that names one."""
    if path.suffix.lower() not in (".yaml", ".yml"):
        return _Asked(path, SurveyAnswers())
    answers = read_answers(path)
    return _Asked(path.parent / (answers.mesh or ""), answers)


def _write(survey: Survey, asked: _Asked, out: Path, folder: Path) -> None:
    name = out.absolute().name
    if survey.scan is None:
        export_parts(shell_of_survey(survey, name), folder / SHELL_FILE)
    mesh = os.path.relpath(asked.mesh.absolute(), out.absolute())
    files = files_of(name, "", METRIC, ROWS)
    files[PROJECT_FILE] = project_text(survey, name, asked.mesh.name).encode("utf-8")
    if survey.scan is None:
        files[FOUND_FILE] = found_text(found_of(survey, asked.mesh.name)).encode("utf-8")
    files[SURVEY_FILE] = answers_text(survey, asked.answers, Path(mesh).as_posix()).encode("utf-8")
    for file, data in files.items():
        (folder / file).write_bytes(data)


def _draw(survey: Survey, path: Path, title: str) -> None:
    from ribway.viewer.survey_picture import Sheet, Spot, draw_survey

    scan = survey.scan
    shell = shell_of_survey(survey, title) if scan is None else build(tape_shell(tape_of(scan)).parameters)
    sheets = [Sheet(skin.name, skin.mesh.vertices, skin.mesh.faces) for skin in shell.skins]
    solids = [one.mesh for one in shell.members] + [one.mesh for one in shell.obstacles]
    metal = [Sheet("", mesh.vertices, mesh.faces) for mesh in solids]
    spots = [
        Spot(one.name, one.kind, one.rim, one.centre, one.skins[0] or one.member, one.sure) for one in survey.openings
    ]
    draw_survey(sheets, metal, spots, path, title)
