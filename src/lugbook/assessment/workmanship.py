"""What a good heavy crimp looks like: the checklist, in our own words, and what its answers come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lugbook.assessment.criteria import PRACTICE, SEEN
from lugbook.errors import AnswerUnknown, ItemUnknown, listed

YES = "yes"
NO = "no"
NOT_APPLICABLE = "not applicable"
NOT_ANSWERED = "not answered"
ANSWERS = (YES, NO, NOT_APPLICABLE, NOT_ANSWERED)

_NASA = "NASA-STD-8739.4, crimped terminations"
_LUG_PRACTICE = "published assembly practice for heavy lugs without insulation grip"
_FAA = "FAA AC 43.13-1B, chapter 11"


@dataclass(frozen=True, slots=True)
class ChecklistItem:
    """One thing to look at; yes is always the good answer."""

    code: str
    question: str
    good: str  # what good looks like, with its numbers
    fault: str  # a no, as a fault is named: "flash or ears"
    serious: bool  # a no alone refuses the crimp
    source: str
    provenance: str  # see criteria


CHECKLIST = (
    ChecklistItem(
        "conductor seen",
        "Can the conductor be seen in the window, or at the far end of the barrel?",
        "strands fill the window; at an open end they come out level to one wire diameter beyond "
        "(heavy lugs: 0.7 to 2.3 mm)",
        "conductor not seen",
        True,
        _LUG_PRACTICE,
        SEEN,
    ),
    ChecklistItem(
        "strands whole",
        "Are all strands whole and inside the barrel: none cut, nicked, folded back or stray?",
        "none; AC 43.13-1B lets pass up to 6 nicked and 6 broken from 8 AWG to 4/0",
        "strands cut or stray",
        True,
        _FAA,
        SEEN,
    ),
    ChecklistItem(
        "no insulation inside",
        "Is the barrel free of insulation?",
        "none under the crimp",
        "insulation in the barrel",
        True,
        _NASA,
        SEEN,
    ),
    ChecklistItem(
        "gap",
        "Is the gap between insulation and barrel right?",
        "seen, and no more than 3.0 mm up to 10 AWG, 6.4 mm from 8 AWG up (small terminals: 0.25 to 1.25 mm)",
        "gap wrong",
        False,
        _LUG_PRACTICE,
        SEEN,
    ),
    ChecklistItem(
        "bell mouth",
        "Does the barrel keep a bell mouth where the conductor enters?",
        "a short flare left uncrimped, so that no edge bites the strands",
        "no bell mouth",
        False,
        _NASA,
        SEEN,
    ),
    ChecklistItem(
        "crimps placed",
        "Are all crimps in line with each other and wholly on the barrel?",
        "between window and entry, off neither end",
        "crimp out of line or off the barrel",
        True,
        _NASA,
        SEEN,
    ),
    ChecklistItem(
        "no ears",
        "Is the crimp free of flash and ears?",
        "none; flash of a hex die may be pressed flat with a second press",
        "flash or ears",
        False,
        _LUG_PRACTICE,
        SEEN,
    ),
    ChecklistItem(
        "no cracks",
        "Is the lug free of cracks and open seams, at the barrel and at the palm?",
        "none under a lens",
        "cracked",
        True,
        _NASA,
        SEEN,
    ),
    ChecklistItem(
        "sealed",
        "Does the sealing cover barrel and insulation, with adhesive seen at both ends?",
        "over the whole barrel and well onto the insulation",
        "sealing short",
        False,
        "heat-shrink over a crimp",
        PRACTICE,
    ),
    ChecklistItem(
        "square",
        "Is the lug in line with the cable, neither bent nor twisted, palm as it must land?",
        "straight to the eye",
        "lug bent or twisted",
        False,
        _NASA,
        SEEN,
    ),
)
_BY_CODE = {item.code: item for item in CHECKLIST}


@dataclass(frozen=True, slots=True)
class WorkmanshipSummary:
    """What the answers come to."""

    verdict: str  # "good", "faults", "incomplete" (no fault, but lines not answered), "not judged" (nothing answered)
    faults: tuple[ChecklistItem, ...]  # answered no
    unanswered: tuple[ChecklistItem, ...]
    good_count: int
    not_applicable_count: int

    @property
    def serious(self) -> bool:
        """A fault that refuses the crimp."""
        return any(item.serious for item in self.faults)


def checklist_item(code: str) -> ChecklistItem:
    """The line of that code. Raises ItemUnknown."""
    if code not in _BY_CODE:
        raise ItemUnknown(code, list(_BY_CODE))
    return _BY_CODE[code]


def summarise_workmanship(answers: Mapping[str, str]) -> WorkmanshipSummary:
    """Answers by code of the line; a line left out is not answered, which is neither good nor bad.

    Raises ItemUnknown, AnswerUnknown.
    """
    for code, answer in answers.items():
        checklist_item(code)
        if answer not in ANSWERS:
            raise AnswerUnknown(answer, ANSWERS)
    by_answer = {
        answer: tuple(item for item in CHECKLIST if answers.get(item.code, NOT_ANSWERED) == answer)
        for answer in ANSWERS
    }
    faults, unanswered = by_answer[NO], by_answer[NOT_ANSWERED]
    if faults:
        verdict = "faults"
    elif len(unanswered) + len(by_answer[NOT_APPLICABLE]) == len(CHECKLIST):
        verdict = "not judged"
    else:
        verdict = "incomplete" if unanswered else "good"
    return WorkmanshipSummary(
        verdict, faults, unanswered, len(by_answer[YES]), len(by_answer[NOT_APPLICABLE])
    )


def word_workmanship(summary: WorkmanshipSummary) -> str:
    """One sentence."""
    if summary.verdict == "not judged":
        return "Workmanship not judged: nothing on the checklist was answered."
    parts = [f"{summary.good_count} good"]
    if summary.faults:
        parts.append(f"{len(summary.faults)} at fault ({listed([item.fault for item in summary.faults])})")
    if summary.not_applicable_count:
        parts.append(f"{summary.not_applicable_count} not applicable")
    if summary.unanswered:
        parts.append(f"{len(summary.unanswered)} not answered")
    return f"Workmanship, {len(CHECKLIST)} lines: {listed(parts)}."
