"""The tables of a round at the boat: opened with what, which spans were skipped and why, closed when."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from lugbook.records.facts import Fact, checked

DROP_UNITS = ("mV", "uV", "V")
CURRENT_UNITS = ("A", "mA", "kA")
TEMPERATURE_UNITS = ("degC", "degF", "K")


class RoundOpening(Fact, table=True):
    """A round was begun: with what, by whom, in what weather, and how its numbers are written down."""

    __tablename__ = "round_opening"
    __table_args__ = checked(
        text=("weather", "note"),
        utc=("opened_at",),
        words={
            "drop_unit": DROP_UNITS,
            "current_unit": CURRENT_UNITS,
            "temperature_unit": TEMPERATURE_UNITS,
        },
        real={"current_ampere": (0, 10_000)},
    )

    round_id: int = Field(foreign_key="round.id")
    opened_at: str
    voltage_instrument_id: int = Field(foreign_key="instrument.id")
    current_instrument_id: int = Field(foreign_key="instrument.id")
    thermometer_id: int | None = Field(default=None, foreign_key="instrument.id")
    """Null when none was named."""
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    drop_unit: str
    """What a bare number stands in, on the sheet and in quick entry."""
    current_unit: str
    temperature_unit: str
    current_ampere: float | None = None
    """Of a steady load, taken where no current is said; null when the load is not steady."""
    weather: str | None = None
    note: str | None = None


class RoundSkip(Fact, table=True):
    """A span that was not read in a round, and why."""

    __tablename__ = "round_skip"
    __table_args__ = (
        *checked(text=("reason",), utc=("skipped_at",)),
        CheckConstraint("length(trim(reason)) > 0", name="reason_said"),
    )

    round_id: int = Field(foreign_key="round.id")
    span_id: int = Field(foreign_key="span.id")
    skipped_at: str
    reason: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")


class RoundClosing(Fact, table=True):
    """A round was ended."""

    __tablename__ = "round_closing"
    __table_args__ = checked(text=("note",), utc=("closed_at",))

    round_id: int = Field(foreign_key="round.id")
    closed_at: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    note: str | None = None
