"""A report given out is recorded: its number, its digests, what it replaces; a buyer's file is held against it."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from conftest import Shell
from lugbook.jobs import reporting
from parsed_page import Page


def issued(shell: Shell, *words: str) -> dict[str, str]:
    """A report recorded as an issue."""
    return dict(shell.tells("report", "--out", shell.folder / "out", "--record", *words))


def first_facts(page: str) -> dict[str, str]:
    """The facts under the title of a report."""
    texts = Page(Path(page).read_text(encoding="utf-8")).texts
    return {name: texts[texts.index(name) + 1] for name in ("Issue", "Replaces")}


def standing(shell: Shell) -> list[tuple[str, str | None, bool]]:
    """Of each issue its number, what replaced it, and whether it was withdrawn."""
    return [
        (one["issue"], one["replaced_by"], one["withdrawn"]) for one in shell.tells("issue", "list")["issues"]
    ]


def test_issues_are_numbered_by_build_and_each_replaces_the_one_before(bench: Shell) -> None:
    first, second = issued(bench, "--to", "the surveyor", "--by", "owner"), issued(bench)

    assert [first["issue"], first["replaces"], second["issue"], second["replaces"]] == ["1", None, "2", "1"]
    assert first_facts(second["html"]) == {"Issue": "2", "Replaces": "issue 1"}
    assert standing(bench) == [("1", "2", False), ("2", None, False)]
    page = Page(Path(second["html"]).read_text(encoding="utf-8")).texts
    assert "Issues recorded before this one" in page
    assert "the surveyor" in page


def test_a_file_of_an_issue_is_known_byte_for_byte(bench: Shell) -> None:
    first = issued(bench, "--to", "the surveyor")
    issued(bench)

    told = bench.does("issue", "check", first["pdf"], first["html"]).splitlines()

    assert [line.partition(": ")[2] for line in told] == [
        f"the {kind} of issue 1, on My boat as of 2026-11-10, issued to the surveyor; replaced by issue 2."
        for kind in ("PDF", "HTML")
    ]
    changed = bench.file("changed.html", Path(first["html"]).read_bytes().replace(b"steady", b"sturdy", 1))
    ran = bench("issue", "check", changed, first["html"], "--json")
    assert ran.exit_code == 1
    assert [one["issue"] and one["issue"]["issue"] for one in ran.facts["files"]] == [None, "1"]


def test_a_report_that_is_not_recorded_says_so_and_leaves_the_book_alone(bench: Shell) -> None:
    lines = bench.line_count()

    facts = bench.tells("report", "--out", bench.folder / "out")

    assert bench.line_count() == lines
    assert first_facts(facts["html"])["Issue"] == f"draft {lines}, not recorded"
    assert bench("issue", "check", facts["pdf"]).exit_code == 1


def test_a_page_on_a_span_and_a_private_issue_replace_only_their_like(bench: Shell) -> None:
    whole, page = issued(bench), issued(bench, "--span", "C12A/crimp")
    private, later = issued(bench, "--private"), issued(bench)

    assert [one["replaces"] for one in (whole, page, private, later)] == [None, None, None, "1"]
    assert issued(bench, "--span", "C12A/crimp")["replaces"] == "2"


def test_the_number_of_an_issue_is_never_used_twice(bench: Shell) -> None:
    issued(bench, "--issue", "7")
    said = bench.does("issue", "withdraw", "7", "--reason", "a wrong picture")

    assert said == f"Issue 7 no longer counts; it stays in the book, as entry {bench.line_count() - 1}.\n"
    assert bench.refuses("report", "--out", "out", "--record", "--issue", "7") == (
        "The book already holds issue 7 of My boat; leave --issue out, and this one takes the next number."
    )
    after = issued(bench)
    assert (after["issue"], after["replaces"]) == ("8", None)
    assert standing(bench) == [("7", None, True), ("8", None, False)]
    assert "; withdrawn." in bench.does("issue", "check", *(bench.folder / "out").glob("*issue-7.pdf"))


def test_an_issue_replaces_only_one_that_is_recorded(bench: Shell) -> None:
    assert bench.refuses("report", "--out", "out", "--record", "--replaces", "4") == (
        'The book knows no issue "4"; list them with `lugbook issue list`.'
    )


def test_a_book_that_moved_on_while_the_report_was_made_holds_no_issue_of_it(
    bench: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    compose = reporting.compose_report

    def meanwhile(*given):
        bench.does("operator", "add", "somebody else")
        return compose(*given)

    monkeypatch.setattr(reporting, "compose_report", meanwhile)
    ran = bench("report", "--out", bench.folder / "out", "--record")

    assert (ran.exit_code, ran.err) == (
        4,
        "Not issued: something was entered in the book while the report was made; run it again.\n",
    )
    assert standing(bench) == []
    assert list((bench.folder / "out").glob("*")) == []


def test_files_that_cannot_be_written_are_not_recorded(bench: Shell) -> None:
    expected = bench.folder / "out" / "report-my-boat-2026-11-10-issue-1.pdf"
    expected.mkdir(parents=True)

    bench.refuses("report", "--out", bench.folder / "out", "--record", exit_code=7)

    assert standing(bench) == []


def test_a_book_that_does_not_verify_issues_nothing(bench: Shell) -> None:
    with closing(sqlite3.connect(bench.book)) as book, book:
        for (name,) in book.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            book.execute(f"DROP TRIGGER {name}")
        book.execute("UPDATE reading SET drop_millivolt = drop_millivolt / 2")

    refusal = bench.refuses("report", "--out", bench.folder / "out", "--record")

    assert refusal.startswith("Not issued: this book does not verify")
