"""How the acceptance of a terminal looks as JSON, as tables and in words."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lugbook.assessment.acceptance import CriterionResult
    from lugbook.jobs.accepting import TerminalPage

Table = tuple[tuple[str, ...], list[list[str]]]


def facts_of_page(page: "TerminalPage") -> dict[str, Any]:
    """The facts of a terminal's page, for JSON."""
    return {
        "cable_end": page.end,
        "joining": page.joining,
        "die": page.die,
        "verdict": page.acceptance.verdict,
        "criteria_judged": _judged(page),
        "lacking": list(page.acceptance.lacking),
        "first_read_at": page.first_read or None,
        "criteria": [
            {
                "criterion": one.code, "verdict": one.verdict,
                "value": _rounded(one.value), "limit": _rounded(one.limit), "unit": one.unit or None,
                "source": one.source, "provenance": one.provenance, "says": one.says,
            }
            for one in page.acceptance.results
        ],
        "workmanship": [
            {
                "item": one.item, "answer": one.answer, "looked_at": one.looked_at or None,
                "operator": one.operator or None,
            }
            for one in page.answers
        ],
        "photos": list(page.photos),
    }  # fmt: skip


def pairs_of_page(page: "TerminalPage") -> list[tuple[str, str]]:
    """Name and value of what is concluded, and why, each criterion judged with its source and how we know it."""
    from lugbook.assessment.acceptance import word_acceptance

    said = [(f"{one.code}, {one.verdict}", _said(one)) for one in page.acceptance.results]
    return [
        ("joined", page.joining if page.joining == "crimped" else f"{page.joining}, not crimped"),
        ("die setting", page.die),
        ("photos", ", ".join(page.photos)),
        ("as made", word_acceptance(page.acceptance)),
        *said,
    ]


def answers_table(page: "TerminalPage") -> Table:
    """The checklist with its answers."""
    rows = [[one.item, one.question, one.answer, one.looked_at[:10], one.operator] for one in page.answers]
    return ("line", "question", "answer", "looked at", "by"), rows


def _judged(page: "TerminalPage") -> int:
    """Criteria that could be judged: what was not judged is no pass."""
    return sum(one.verdict != "not judged" for one in page.acceptance.results)


def _said(one: "CriterionResult") -> str:
    return one.says if one.verdict == "not judged" else f"{one.says} ({one.source}; {one.provenance})"


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
