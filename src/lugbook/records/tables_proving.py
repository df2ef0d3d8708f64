"""The tables of proving a crimp and of what it takes: samples, answers to the checklist, reels, prices."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from lugbook.records.facts import Fact, checked
from lugbook.records.tables_build import ONE_OF_TWO

ANSWERS = ("yes", "no", "not applicable", "not answered")
PRICED_BY = ("piece", "metre")


class Sample(Fact, table=True):
    """One crimp made to be spoilt: as measured and as seen; what it held is a pull of the same name."""

    __tablename__ = "sample"
    __table_args__ = checked(
        text=("sample", "note"),
        utc=("tested_at",),
        real={
            "drop_millivolt": (-60_000, 60_000),
            "current_ampere": (0, 10_000),
            "joint_celsius": (-40, 150),
            "length_millimetre": (0, 100_000),
            "width_millimetre": (0, 200),
            "height_millimetre": (0, 200),
        },
        whole={"ears": (0, 1), "strands_cut": (0, 10_000)},
    )

    recipe_id: int = Field(foreign_key="recipe.id")
    sample: str
    tested_at: str
    drop_millivolt: float | None = None
    """As seen, with the current beside it; null where its resistance was not measured."""
    current_ampere: float | None = None
    joint_celsius: float | None = None
    length_millimetre: float | None = None
    """Between the probes along the cable, barrel included; null when not measured."""
    width_millimetre: float | None = None
    height_millimetre: float | None = None
    ears: int | None = None
    """1 flash or ears seen, 0 none, null when nobody looked."""
    strands_cut: int | None = None
    voltage_instrument_id: int | None = Field(default=None, foreign_key="instrument.id")
    """What the drop was read with; null when not said."""
    current_instrument_id: int | None = Field(default=None, foreign_key="instrument.id")
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    note: str | None = None


class WorkmanshipAnswer(Fact, table=True):
    """What somebody answered to one line of the checklist, of a terminal or of a sample."""

    __tablename__ = "workmanship_answer"
    __table_args__ = (
        *checked(text=("item", "note"), utc=("looked_at",), words={"answer": ANSWERS}),
        CheckConstraint(ONE_OF_TWO, name="of_one"),
    )

    terminal_id: int | None = Field(default=None, foreign_key="terminal.id")
    sample_id: int | None = Field(default=None, foreign_key="sample.id")
    item: str
    """Code of a line of the checklist."""
    answer: str
    looked_at: str
    """Of two answers to one line the later one counts."""
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    note: str | None = None


class Reel(Fact, table=True):
    """Cable on a reel, in stock or to be bought."""

    __tablename__ = "reel"
    __table_args__ = checked(
        text=("name", "note"), real={"length_metre": (0, 500)}, whole={"count": (1, 10_000)}
    )

    name: str
    conductor_id: int = Field(foreign_key="conductor.id")
    length_metre: float
    count: int | None = None
    """How many there are; null where as many as are wanted can be bought."""
    note: str | None = None


class Price(Fact, table=True):
    """What a part or a metre costs."""

    __tablename__ = "price"
    __table_args__ = checked(
        text=("name", "currency", "note"), real={"amount": (0, 1e7)}, words={"unit": PRICED_BY}
    )

    name: str
    """Of the conductor, the lug or any other material."""
    amount: float
    currency: str
    unit: str
    note: str | None = None
