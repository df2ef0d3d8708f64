"""Invented reports: a small one, a large one, and one with hostile text in every field."""

from dataclasses import fields, is_dataclass, replace
from io import BytesIO
from typing import Any

from PIL import Image

from lugbook.reports.blocks import Print
from lugbook.reports.photographs import print_photo
from lugbook.reports.sparklines import Trend
from lugbook.reports.workmanship import (
    CableLine,
    CriterionLine,
    EarlierIssue,
    Gap,
    InstrumentLine,
    Issue,
    PullLine,
    RecipeEntry,
    RoundLine,
    Seal,
    ServiceLine,
    SpanEntry,
    StagedValue,
    Subject,
    SupersededLine,
    TerminalEntry,
    WorkmanshipReport,
)

HEAD = "ab" * 32
BOOK = "0123456789abcdef0123456789abcdef"
DAY_2021, DAY_2026 = 18_735.0, 20_568.0
PLOT = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 518 324">'
    '<path d="M10 300L500 20" stroke="#123a5c" stroke-width="2"/></svg>'
)


def span(tag: str = "C12A/crimp", verdict: str = "steady", **changed: Any) -> SpanEntry:
    """A span read in six rounds."""
    days = tuple(DAY_2021 + 366.0 * n for n in range(6))
    made = SpanEntry(
        tag=tag, kind=tag.split("/")[-1], place="engine", verdict=verdict,
        reasons=("Level 20.6 ± 0.2 µΩ over 6 readings since April 2021; chance of creep 2 %.",),
        source="the readings", first="20.1 ± 0.4 µΩ", first_on="2021-04-18", now="20.7 ± 0.2 µΩ",
        now_on="2026-04-25", limit="65 µΩ", readings=6, next_test="2027-04-25",
        trend=Trend(days, (20.1, 20.3, 20.2, 20.6, 20.5, 20.7), (0,) * 6, 65.0),
    )  # fmt: skip
    return replace(made, **changed)


def terminal(end: str = "C12A", **changed: Any) -> TerminalEntry:
    """A terminal with its crimp watched."""
    made = TerminalEntry(
        end=end, made_on="2021-03-06", made_by="mate", recipe="R2",
        landing="starter (stud, M10 nut, 27 N m / 19.9 lbf ft)", place="engine", spans=(span(f"{end}/crimp"),),
    )  # fmt: skip
    return replace(made, **changed)


def recipe(**changed: Any) -> RecipeEntry:
    """A recipe with one pull, not judged."""
    pulls = (PullLine("R2-1", "2021-02-21", "9323 N (2100 lbf)", "pulled out", "PT1", "owner"),)
    made = RecipeEntry("R2", (("conductor", "2/0 AWG (67.4 mm²), tinned"), ("presses", "2")), 2, pulls)
    return replace(made, **changed)


def small_report(**changed: Any) -> WorkmanshipReport:
    """One cable, two terminals, one of them creeping, one correction."""
    creeping = span(
        "C12B/crimp", "creeping", reasons=("Rising 9 % a year since about April 2022 (8 to 10), 99 % sure.",),
        rate="9 % a year (8 to 10)", next_test="2026-10-24", is_overdue=True, picture=PLOT,
    )  # fmt: skip
    made = WorkmanshipReport(
        issue=Issue(
            "3", "2026-11-25", "2", is_recorded=True, issued_to="the surveyor",
            earlier=(EarlierIssue("1", "2024-11-20", "Tern", "", "withdrawn"),
                     EarlierIssue("2", "2025-11-21", "Tern", "the insurer", "replaced by this one")),
        ),
        seal=Seal(BOOK, 812, HEAD),
        subject=Subject("Tern", "An invented cutter", "Tern", "Europe/Lisbon"),
        terminals=(terminal(), terminal("C12B", spans=(creeping,), look="Workmanship, 10 lines: 10 good.")),
        other_spans=(span("SH1/joint", "not judged", reasons=("No reading yet.",), first="", first_on="", now="",
                          now_on="", readings=0, trend=None, limit=""),),
        gaps=(Gap("watched spans never read", 1, 3, ("SH1/joint",)), Gap("terminals without a photo", 2, 2),
              Gap("recipes without a sample pulled", 0, 1)),
        instruments=(InstrumentLine("MV1", "millivoltmeter", "± (0.5 % + 3 × 0.01 mV)", "2021-03-02, due 2024-03-01",
                                    "12 readings, 2021-04 to 2026-04", 4),),
        rounds=(RoundLine("2026", "2026-04-25", 2, "owner", "0.2 % low (± 0.1)", "none read"),),
        recipes=(recipe(),),
        cables=(CableLine("C12", "2/0 AWG (67.4 mm²), tinned", "1.80 m (5.9 ft)", "engine → bilge", "starter"),),
        services=(ServiceLine("2024-04-21", "C12A/crimp", "cleaned", "mate",
                              StagedValue("13.6", "13.6 ± 0.1 µΩ", "1.45 mV at 107 A", is_over=True),
                              StagedValue("8.02", "8.02 ± 0.06 µΩ", "0.86 mV at 107 A", is_over=False), "12 µΩ", "",
                              "green"),),
        criteria=(CriterionLine("level to plan by", "a multiple of the first level", "IEEE 837, older editions",
                                "from memory, to be checked", "2 spans"),),
        superseded=(SupersededLine("41", "reading C12A/crimp", "drop millivolt: 8.4", "drop millivolt: 0.84",
                                   "digits swapped", "owner", "2026-04-26"),),
        tested_by=("owner", "mate"),
        tested_from="2021-04-18",
        tested_to="2026-04-25",
    )  # fmt: skip
    return replace(made, **changed)


def large_report(terminals: int = 200, photos: int = 60) -> WorkmanshipReport:
    """So many terminals with a crimp and a landing each, every tenth creeping with a large plot, and photos."""
    pictures = [print_photo(photo(n), f"{n}.jpg", f"photo {n}") for n in range(photos)]
    ends = [f"C{1 + n // 2:03d}{'AB'[n % 2]}" for n in range(terminals)]
    entries = tuple(
        terminal(end, spans=(_large_span(end, n), span(f"{end}/landing")), photos=tuple(pictures[n : n + 1]))
        for n, end in enumerate(ends)
    )
    cables = tuple(
        CableLine(end[:-1], "2/0 AWG (67.4 mm²), tinned", "1.80 m (5.9 ft)", "engine → dry", "house to bus")
        for end in ends[::2]
    )
    return small_report(terminals=entries, cables=cables, other_spans=())


def _large_span(end: str, number: int) -> SpanEntry:
    if number % 10:
        return span(f"{end}/crimp")
    return span(f"{end}/crimp", "creeping", picture=PLOT)


def photo(seed: int = 0, size: tuple[int, int] = (640, 480), kind: str = "JPEG", **saved: Any) -> bytes:
    """A picture file with some detail in it; "grain" is a JPEG as a phone takes it, about 0.3 bytes a pixel."""
    page = BytesIO()
    picture = _shaded(seed, size)
    if kind == "grain":
        picture = Image.blend(Image.effect_noise(size, 40).convert("RGB"), picture, 0.75)
    picture.save(page, "JPEG" if kind == "grain" else kind, **saved)
    return page.getvalue()


def _shaded(seed: int, size: tuple[int, int]) -> Image.Image:
    across = Image.linear_gradient("L").resize(size)
    down = Image.radial_gradient("L").resize(size).rotate(seed)
    return Image.merge("RGB", (across, down, across.transpose(Image.Transpose.FLIP_TOP_BOTTOM)))


def fill_every_text(value: Any, text: str) -> Any:
    """The same values with `text` after every text; verdicts, SVG and the day of issue stay. (Any: any value.)"""
    if isinstance(value, str):
        return value + text
    if isinstance(value, tuple):
        return tuple(fill_every_text(one, text) for one in value)
    if is_dataclass(value) and not isinstance(value, Trend | Print | type):
        kept = (
            {"verdict", "svg", "picture", "on"}
            if isinstance(value, SpanEntry | Issue)
            else {"svg", "picture", "head"}
        )
        changed = {
            field.name: fill_every_text(getattr(value, field.name), text)
            for field in fields(value)
            if field.name not in kept
        }
        return replace(value, **changed)
    return value
