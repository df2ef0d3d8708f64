"""The tables of one build: its cables, ends, landings, terminals, spans and photos."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from lugbook.records.facts import Fact, checked

PLACES = ("dry", "engine", "bilge", "exposed")
LANDING_KINDS = ("post", "stud", "bus bar")
ONE_OF_TWO = "(terminal_id IS NULL) <> (sample_id IS NULL)"
DUTIES = ("starting", "steering", "bilge pump", "grounding")
SPAN_KINDS = ("crimp", "landing", "cable", "joint", "check standard")


class Build(Fact, table=True):
    """One vessel, vehicle or system."""

    __tablename__ = "build"
    __table_args__ = checked(text=("name", "description", "zone"))

    name: str
    description: str | None = None
    zone: str
    """IANA name of the time zone in which its times are written."""


class Cable(Fact, table=True):
    """One made-up cable."""

    __tablename__ = "cable"
    __table_args__ = checked(
        text=("tag", "note", "circuit", "quoted_currency"),
        real={
            "length_metre": (0, 500),
            "route_metre": (0, 500),
            "service_loop_metre": (0, 500),
            "bend_radius_millimetre": (0, 10_000),
            "trim_millimetre": (0, 10_000),
            "loom_metre": (0, 500),
            "heat_shield_metre": (0, 500),
            "circuit_ampere": (0, 10_000),
            "system_volt": (0, 1500),
            "drop_budget_percent": (0, 100),
            "quoted_amount": (0, 1e7),
        },
        whole={"bends": (0, 1000)},
    )

    build_id: int = Field(foreign_key="build.id")
    tag: str
    conductor_id: int = Field(foreign_key="conductor.id")
    length_metre: float
    note: str | None = None
    recipe_id: int | None = Field(default=None, foreign_key="recipe.id")
    """How its ends are to be made, as planned; null when not planned."""
    route_metre: float | None = None
    """Stud to stud along the way it takes; null where the length is all that is known."""
    service_loop_metre: float | None = None
    bends: int | None = None
    """Quarter turns."""
    bend_radius_millimetre: float | None = None
    trim_millimetre: float | None = None
    """Cut away at each end."""
    loom_metre: float | None = None
    heat_shield_metre: float | None = None
    circuit: str | None = None
    """The cables of one circuit have one name here; null when not said."""
    circuit_ampere: float | None = None
    """Current the circuit is planned for."""
    system_volt: float | None = None
    drop_budget_percent: float | None = None
    """Of the system's volts, over the whole round trip; null when none was set."""
    quoted_amount: float | None = None
    """Price quoted for this cable ready made, in `quoted_currency`."""
    quoted_currency: str | None = None


class CableEnd(Fact, table=True):
    """One end of a cable."""

    __tablename__ = "cable_end"
    __table_args__ = checked(text=("tag", "place"), words={"side": ("A", "B")})

    cable_id: int = Field(foreign_key="cable.id")
    side: str
    tag: str
    """Cable tag and side: C12A."""
    place: str | None = None
    """Where the end sits, in the owner's words; null when not said."""


class Landing(Fact, table=True):
    """Where a terminal is bolted."""

    __tablename__ = "landing"
    __table_args__ = checked(
        text=("tag", "hardware", "note"),
        words={"kind": LANDING_KINDS},
        real={"torque_newton_metre": (0, 1000), "maker_torque_newton_metre": (0, 1000)},
    )

    build_id: int = Field(foreign_key="build.id")
    tag: str
    kind: str
    hardware: str | None = None
    torque_newton_metre: float | None = None
    """As applied; null when not measured."""
    note: str | None = None
    maker_torque_newton_metre: float | None = None
    """What the maker of the part states, as the owner read it there; null when not known."""


class Terminal(Fact, table=True):
    """One lug crimped on one end by one recipe on one day."""

    __tablename__ = "terminal"
    __table_args__ = checked(text=("note", "die"), utc=("made_at",))

    cable_end_id: int = Field(foreign_key="cable_end.id")
    recipe_id: int = Field(foreign_key="recipe.id")
    made_at: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    landing_id: int | None = Field(default=None, foreign_key="landing.id")
    note: str | None = None
    die: str | None = None
    """The die setting it was made with; null means that of its recipe."""


class Span(Fact, table=True):
    """Two fixed probe places watched over the years."""

    __tablename__ = "span"
    __table_args__ = checked(
        text=("tag", "note"),
        words={"kind": SPAN_KINDS, "place": PLACES, "duty": DUTIES},
        real={
            "limit_microohm": (0, 1e7),
            "probe_millimetre": (0, 100_000),
            "placement_millimetre": (0, 100),
        },
    )

    build_id: int = Field(foreign_key="build.id")
    tag: str
    kind: str
    place: str
    cable_end_id: int | None = Field(default=None, foreign_key="cable_end.id")
    """The end it belongs to; null for a joint that belongs to no cable."""
    landing_id: int | None = Field(default=None, foreign_key="landing.id")
    limit_microohm: float | None = None
    """At 20 degC; null when the owner set none: then only change is judged."""
    note: str | None = None
    probe_millimetre: float | None = None
    """Cable between the probes, outside the barrel; null when not measured."""
    placement_millimetre: float | None = None
    """Plus or minus, how closely the probes find their places; null when not said."""
    duty: str | None = None
    """What fails with it, where that asks for more care; null for anything else."""


class Photo(Fact, table=True):
    """A picture of a terminal or of a sample, known by the digest of its file."""

    __tablename__ = "photo"
    __table_args__ = (
        *checked(text=("digest", "file_name", "note", "print_digest"), whole={"byte_count": (1, 1e9)}),
        CheckConstraint(ONE_OF_TWO, name="of_one"),
    )

    terminal_id: int | None = Field(default=None, foreign_key="terminal.id")
    digest: str
    """SHA-256 of the original file, 64 hex digits."""
    byte_count: int
    file_name: str
    note: str | None = None
    sample_id: int | None = Field(default=None, foreign_key="sample.id")
    print_digest: str | None = None
    """SHA-256 of the print made of it when it was kept; null where none was made."""
