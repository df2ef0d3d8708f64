"""The command `issue`: the reports that were given out, and whether a file is one of them."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from lugbook.cli.arguments import AsJson, By, OfBuild, Why, now, the_book
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import noun

if TYPE_CHECKING:
    from lugbook.jobs.issuing import Checked, IssueView

issue = noun("Reports given out and recorded in the book; whether a file is one of them.")
COMMANDS = {"issue": issue}


@issue.command("list")
def list_recorded(ctx: typer.Context, build: OfBuild = None, as_json: AsJson = False) -> None:
    """List every issue recorded, with what became of it."""
    from lugbook.jobs.issuing import list_issues

    views = list_issues(the_book(ctx), build)
    if as_json:
        show_json({"issues": [_facts(view) for view in views]})
    elif not views:
        say("No issue of a report is recorded in this book; `lugbook report --record` records one.")
    else:
        headings = ("build", "issue", "of", "about", "issued to", "by", "now")
        show_table(headings, [
            [view.build, view.number, view.as_of, view.subject or "the whole build", view.issued_to, view.by,
             _fate(view)]
            for view in views
        ])  # fmt: skip


@issue.command("check")
def check(
    ctx: typer.Context,
    files: Annotated[list[Path], typer.Argument(help="Files said to be of a report of this book.")],
    as_json: AsJson = False,
) -> None:
    """Say of each file whether it is, byte for byte, one of a recorded issue; exit code 1 if one is not."""
    from lugbook.jobs.exchanging import read_file
    from lugbook.jobs.issuing import check_file

    found = [(file, check_file(the_book(ctx), read_file(file))) for file in files]
    if as_json:
        show_json({"files": [
            {"file": str(file), "sha256": one.digest, "kind": one.kind or None,
             "issue": _facts(one.issue) if one.issue else None}
            for file, one in found
        ]})  # fmt: skip
    else:
        for file, one in found:
            say(f"{file}: {_told(one)}")
    if any(one.issue is None for _, one in found):
        raise typer.Exit(1)


@issue.command("withdraw")
def withdraw(
    ctx: typer.Context,
    number: Annotated[str, typer.Argument(help="The number of the issue.")],
    reason: Why,
    by: By = None,
    build: OfBuild = None,
) -> None:
    """Say that an issue no longer counts; it stays in the book."""
    from lugbook.jobs.issuing import withdraw_issue

    entry = withdraw_issue(the_book(ctx), number, now(), reason=reason, by=by, build=build)
    say(f"Issue {number} no longer counts; it stays in the book, as entry {entry}.")


def _told(one: "Checked") -> str:
    if one.issue is None:
        return f"of no issue recorded in this book (SHA-256 {one.digest}): it was changed, or never recorded."
    to = f", issued to {one.issue.issued_to}" if one.issue.issued_to else ""
    about = f"{one.issue.subject} of {one.issue.build}" if one.issue.subject else one.issue.build
    return f"the {one.kind} of issue {one.issue.number}, on {about} as of {one.issue.as_of}{to}; {_fate(one.issue)}."


def _fate(view: "IssueView") -> str:
    if view.is_withdrawn:
        return "withdrawn"
    return f"replaced by issue {view.replaced_by}" if view.replaced_by else "stands"


def _facts(view: "IssueView") -> dict[str, object]:
    return {
        "build": view.build, "issue": view.number, "issued_at": view.issued_at, "as_of": view.as_of,
        "about": view.subject or None, "issued_to": view.issued_to or None, "by": view.by or None,
        "private": view.is_private, "html_sha256": view.html_digest, "pdf_sha256": view.pdf_digest,
        "replaces": view.replaces or None, "replaced_by": view.replaced_by or None, "withdrawn": view.is_withdrawn,
        "entry": view.identity,
    }  # fmt: skip
