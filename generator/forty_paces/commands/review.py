"""``fortypaces review``: a report for reviewers to read and sign.

With the edition.json of an earlier edition it lists every line that changed since.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import click
from markupsafe import Markup

from forty_paces.authoring.clock import day_of_reading
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import inspect_project
from forty_paces.commands.figures import day
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.messages.cab import SCREENS
from forty_paces.outputs.common.files import naming, read_text
from forty_paces.outputs.common.templates import template_environment
from forty_paces.outputs.common.typesetting import foot_boxes
from forty_paces.outputs.pages.review_report import (
    ReviewReport,
    due_words,
    questions,
    report_text,
    review_report,
    source_words,
    watch_words,
)

EPILOG = """\b
Examples:
  fortypaces review
  fortypaces review --since old-site/edition.json
  fortypaces review --html review.html

\b
Exit status: 0 the report is made; 1 faults in the content; 2 wrong use.
"""


@click.command(epilog=EPILOG)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option(
    "--since",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="edition.json of an earlier edition: lists every line that differs from it.",
)
@click.option(
    "--html",
    "html_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write a page to print and sign, instead of text.",
)
@click.option("--today", type=day, metavar="DAY", help="Day of the report; default: today.")
def review(project: Path | None, since: Path | None, html_file: Path | None, today: dt.date | None) -> None:
    """Report versions, dates, sources, watched regulations, waivers and changes, with lines to sign.

    Nothing is signed by the report itself: a review counts once its name and day
    stand in the procedure's file.
    """
    folder = take_project(project)
    of = today or day_of_reading()
    inspection = inspect_project(folder, of)
    library = inspection.under_review
    if library is None:
        raise ContentFault(inspection.faults)
    edition, before = _edition(since) if since is not None else ("", None)
    report = review_report(library, of, edition, before)
    if html_file is None:
        click.echo(report_text(report), nl=False)
        return
    with naming(html_file):
        html_file.write_text(_html(folder, report), encoding="utf-8", newline="\n")
    click.echo(f"{html_file}: {len(report.sheets)} procedures to review.")


def _edition(file: Path) -> tuple[str, dict[str, str]]:
    """The id and the text hashes of an earlier edition; ``UsageError`` where the file is no such record."""
    try:
        record = json.loads(read_text(file))
        strings = record["strings"]
        if not isinstance(strings, dict):
            raise TypeError
        return str(record["edition"]), {str(name): str(value) for name, value in strings.items()}
    except (ValueError, TypeError, KeyError, RecursionError):
        raise click.UsageError(f"{file} is not the edition.json of a built site") from None


def _html(folder: Path, report: ReviewReport) -> str:
    template = template_environment(find_overrides(folder)).get_template("pages/review.html.j2")
    foot = SCREENS["foot"].format(
        carrier=report.library.fleet.carrier,
        unit=SCREENS["foot-no-unit"],
        edition=report.library.edition.id,
        signature=report.library.edition.signature,
    )
    return template.render(
        report=report,
        foot=Markup(foot_boxes(foot)),  # which escapes what ends a style or a text in it
        questions=questions(),
        due_words=due_words,
        source_words=source_words,
        watch_words=watch_words,
    )
