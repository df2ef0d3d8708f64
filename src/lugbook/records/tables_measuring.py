"""The tables of measuring: instruments, calibrations, rounds, readings, services."""

from sqlalchemy import Index
from sqlmodel import Field

from lugbook.records.facts import Fact, checked

INSTRUMENT_KINDS = ("millivoltmeter", "clamp", "shunt", "thermometer", "pull tester", "torque wrench")
POLARITIES = ("forward", "reverse")
STAGES = ("as found", "as left")
ACTIONS = ("cleaned", "re-torqued", "re-sealed", "remade", "replaced")


class Instrument(Fact, table=True):
    """A meter, with its maker's accuracy: percent of reading plus counts of the last digit."""

    __tablename__ = "instrument"
    __table_args__ = checked(
        text=("name", "unit", "note"),
        words={"kind": INSTRUMENT_KINDS},
        real={
            "percent_of_reading": (0, 100),
            "counts": (0, 10_000),
            "resolution": (0, 1e6),
            "least": (0, 1e6),
            "greatest": (0, 1e9),
            "zero_offset": (0, 1e6),
        },
    )

    name: str
    kind: str
    percent_of_reading: float
    counts: float
    resolution: float
    """One count, in `unit`."""
    unit: str
    """The unit of its kind: mV, A, degC, N or N m."""
    note: str | None = None
    least: float | None = None
    """Below this it shows nothing to rely on; null where nothing is said."""
    greatest: float | None = None
    """End of the range that the accuracy is stated for; null where nothing is said."""
    zero_offset: float | None = None
    """Plus or minus, what it may show of nothing; null where nothing is said."""


class InstrumentRange(Fact, table=True):
    """A further range of an instrument, with the accuracy its maker states there."""

    __tablename__ = "instrument_range"
    __table_args__ = checked(
        real={
            "greatest": (0, 1e9),
            "percent_of_reading": (0, 100),
            "counts": (0, 10_000),
            "resolution": (0, 1e6),
        },
    )

    instrument_id: int = Field(foreign_key="instrument.id")
    greatest: float
    percent_of_reading: float
    counts: float
    resolution: float


class Calibration(Fact, table=True):
    """One calibration of an instrument."""

    __tablename__ = "calibration"
    __table_args__ = checked(text=("note",), day=("calibrated_on", "due_on"))

    instrument_id: int = Field(foreign_key="instrument.id")
    calibrated_on: str
    due_on: str | None = None
    """Null when the certificate names no date."""
    note: str | None = None


class Round(Fact, table=True):
    """The readings of one outing."""

    __tablename__ = "round"
    __table_args__ = checked(text=("name",))

    build_id: int = Field(foreign_key="build.id")
    name: str


class Reading(Fact, table=True):
    """One millivolt drop at one current, as seen; resistance is never stored."""

    __tablename__ = "reading"
    __table_args__ = (
        Index("ix_reading_span_id", "span_id", "taken_at"),
        *checked(
            text=("note",),
            utc=("taken_at",),
            real={
                "drop_millivolt": (-60_000, 60_000),
                "current_ampere": (0, 10_000),
                "joint_celsius": (-40, 150),
                "zero_millivolt": (-1000, 1000),
            },
            words={"polarity": POLARITIES, "stage": STAGES},
            whole={"repeat": (1, 1000), "confirmed": (0, 1)},
        ),
    )

    span_id: int = Field(foreign_key="span.id")
    round_id: int = Field(foreign_key="round.id")
    taken_at: str
    drop_millivolt: float
    current_ampere: float
    joint_celsius: float | None = None
    """Null when nobody read the temperature."""
    voltage_instrument_id: int = Field(foreign_key="instrument.id")
    current_instrument_id: int = Field(foreign_key="instrument.id")
    polarity: str
    zero_millivolt: float | None = None
    """Drop at zero current; null when not taken."""
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    stage: str | None = None
    """At a service: as found or as left; null otherwise."""
    repeat: int
    """1, 2, 3: which reading on the spot."""
    confirmed: int
    """1 when the number looked wrong and the operator said it is right."""
    note: str | None = None
    thermometer_id: int | None = Field(default=None, foreign_key="instrument.id")
    """Null when none was named."""


class Service(Fact, table=True):
    """Work done on a span; it starts a new series."""

    __tablename__ = "service"
    __table_args__ = checked(
        text=("note",),
        utc=("serviced_at",),
        words={"action": ACTIONS},
        real={"torque_newton_metre": (0, 1000)},
    )

    span_id: int = Field(foreign_key="span.id")
    serviced_at: str
    action: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    torque_newton_metre: float | None = None
    note: str | None = None
