"""Published limits other than pulls: each a row with its source, edition and how we know it."""

from __future__ import annotations

from dataclasses import dataclass

# How we know a number. No standard itself was opened: "seen" is always in a copy that quotes it.
SEEN_SEVERAL = "seen in several quoted copies"
SEEN_ONE = "seen in one quoted copy"
SEEN = "seen in a quoted copy"
MEMORY = "memory"
DERIVED = "derived"
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Criterion:
    """One limit."""

    code: str  # our own name for it, as the book keeps it
    says: str  # what it asks, in our words
    limit: float
    unit: str  # "ratio", "volt", "percent"
    source: str  # who published it
    edition: str  # "" where the copies do not say
    provenance: str  # one of the words above

    @property
    def cited(self) -> str:
        """Source and edition in one line."""
        edition = f"{self.edition} edition" if self.edition.isdecimal() else self.edition
        return ", ".join(part for part in (self.source, edition) if part)

    @property
    def from_memory(self) -> bool:
        """A lead to be checked, and to be marked wherever it is shown."""
        return self.provenance == MEMORY


# What a crimp may read beside an equal length of its conductor. AC 43.13-1B asks for a resistance "negligible"
# beside the wire's own and gives no number; these are the numbers there are.
EQUAL_LENGTH_110 = Criterion(
    "equal length x 1.1",
    "the span reads no more than 1.1 times an equal length of its conductor",
    1.1,
    "ratio",
    "DL/T 765.1, written for piercing clamps, used here by analogy",
    "2001",
    SEEN,
)
EQUAL_LENGTH_100 = Criterion(
    "equal length",
    "the span reads no more than an equal length of its conductor",
    1.0,
    "ratio",
    "trade rule for heavy crimps; AC 43.13-1B para 11-174 asks for negligible and gives no number",
    "",
    PRACTICE,
)
SIMILAR_JOINTS = Criterion(
    "similar joints + 50 %",
    "no joint reads more than 1.5 times the lowest of those made alike",
    1.5,
    "ratio",
    "ANSI/NETA ATS, similar bolted connections",
    "",
    SEEN,
)
DROP_CRITICAL = Criterion(
    "drop 3 %",
    "the round trip of a circuit that must not fail loses no more than 3 % of the system's volts",
    3.0,
    "percent",
    "ABYC E-11",
    "",
    SEEN_ONE,
)
DROP_OTHER = Criterion(
    "drop 10 %",
    "the round trip of any other circuit loses no more than 10 % of the system's volts",
    10.0,
    "percent",
    "ABYC E-11",
    "",
    SEEN_ONE,
)
RETENTION_SHARE = Criterion(
    "retention 80 %",
    "a load held on a good crimp stays at or below 80 % of the least pull asked of a sample",
    80.0,
    "percent",
    "NASA-STD-8739.4, para 13.8.2",
    "with Change 6",
    SEEN_ONE,
)
USES: tuple[tuple[Criterion, str], ...] = (
    (EQUAL_LENGTH_110, "terminals as made; samples"),
    (EQUAL_LENGTH_100, "nothing: shown beside the other"),
    (SIMILAR_JOINTS, "terminals as made"),
    (DROP_CRITICAL, "terminals as made, of cables with this drop budget"),
    (DROP_OTHER, "terminals as made, of cables with this drop budget"),
    (RETENTION_SHARE, "proof pulls"),
)
"""Each criterion with what this program holds against it."""
DROP_BUDGETS = {row.code: row for row in (DROP_CRITICAL, DROP_OTHER)}


@dataclass(frozen=True, slots=True)
class CrankingDrop:
    """One published limit of the drop while cranking; they differ by five between equally good sources."""

    where: str
    system_volt: float
    limit_volt: float
    meaning: str
    source: str
    provenance: str

    def allows(self, drop_volt: float | None, current_ampere: float | None) -> bool | None:
        """Whether a drop is within it; None where the drop is not known, or not the current of a limit per 100 A."""
        if drop_volt is None:
            return None
        if not self.where.endswith("per 100 A"):
            return drop_volt <= self.limit_volt
        return None if current_ampere is None else drop_volt * 100 / current_ampere <= self.limit_volt


def milliohm_of(drop_volt: float, current_ampere: float) -> float:
    """What a drop at a current comes to [mohm]: R = V / I. Example: 0.20 V at 100 A is 2.0 mohm (TM 10-3930-671-24)."""
    return 1000 * drop_volt / current_ampere


_WORKSHOP = "workshop text (one of several that disagree)"
_TM_TRUCK = "US Army TM 9-2320-211-20 (5-ton truck)"
_TM_LIFT = "US Army TM 10-3930-671-24"
_LOSS = "maximum allowable loss while cranking"


def _drop(
    where: str, volt: float, meaning: str, source: str = _WORKSHOP, known: str = SEEN_ONE, system: float = 12
) -> CrankingDrop:
    return CrankingDrop(where, system, volt, meaning, source, known)


CRANKING_DROPS = (
    _drop("ground: frame to grounded battery post", 0.1, _LOSS, _TM_TRUCK, system=24),
    _drop("battery to starter solenoid cable", 0.2, _LOSS, _TM_TRUCK, system=24),
    _drop(
        "whole circuit, per 100 A", 0.2, "rule of thumb: 0.20 V per 100 A (same as 2.0 milliohm)", _TM_LIFT
    ),
    _drop("positive cable with its connections", 0.4, "more than this shows high resistance", _TM_LIFT),
    _drop("battery post to its clamp", 0.0, "anything above zero shows a poor joint", _TM_LIFT),
    _drop(
        "each of: ground post to frame, frame to starter body, insulated post to starter stud",
        0.1,
        "per leg; long cables may be higher, compare like with like",
    ),
    _drop(
        "each of: ground post to frame, positive post to starter stud, starter body to frame", 0.5, "per leg"
    ),
    _drop("battery positive to starter terminal (feed)", 0.5, "feed side"),
    _drop("positive side", 0.5, "whole side"),
    _drop("ground side", 0.3, "whole side"),
    _drop("both sides together", 0.8, "total"),
    _drop("two connections and one wire", 0.3, "300 mV"),
    _drop("per segment", 0.2, "0.1 to 0.2 V"),
    _drop("negative cable, post to starter case", 0.5, "whole side"),
    _drop("positive or negative cable", 1.0, "0.5 or 1.0 V depending on vehicle"),
    _drop("battery to solenoid", 1.26, "under 10 percent of 12.6 V"),
    _drop("one connection", 0.1, "often-quoted 0.1 V per connection (0.0-0.1 V)", "trade practice", MEMORY),
    _drop("one cable", 0.2, "often-quoted 0.2 V per cable", "trade practice", MEMORY),
    _drop("switch or solenoid contacts", 0.3, "often-quoted 0.2-0.3 V", "trade practice", MEMORY),
)


@dataclass(frozen=True, slots=True)
class StrandDamage:
    """How many strands may be hurt, copper."""

    gauges: tuple[str, ...]  # AWG
    strands: str  # of the conductor the table has in mind
    most_nicked: int
    most_broken: int
    source: str = "FAA AC 43.13-1B Table 11-13, copper or copper alloy (aluminium: none allowed)"
    provenance: str = SEEN_ONE


STRAND_DAMAGE = (
    StrandDamage(("24", "22", "20", "18", "16", "14"), "19", 2, 0),
    StrandDamage(("12", "10"), "37", 4, 0),
    StrandDamage(("8", "6", "4"), "133", 6, 6),
    StrandDamage(("2", "1"), "665-817", 6, 6),
    StrandDamage(("1/0", "2/0"), "1045-1330", 6, 6),
    StrandDamage(("3/0",), "1665", 6, 6),
    StrandDamage(("4/0",), "2109", 6, 6),
)


def strand_damage_for(gauge: str) -> StrandDamage | None:
    """The row of an AWG size by its name ("2/0"); None where the table has no such size."""
    return next((row for row in STRAND_DAMAGE if gauge in row.gauges), None)


def word_provenance(provenance: str) -> str:
    """The mark that stands beside a number wherever it is shown; '' for one that was seen quoted."""
    marks = {
        MEMORY: "from memory, to be checked",
        DERIVED: "worked out by us from the rule",
        PRACTICE: PRACTICE,
    }
    return marks.get(provenance, "")
