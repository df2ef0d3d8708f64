"""The tables of what terminals are made of and by whom: conductors, lugs, tools, recipes, operators, pulls."""

from sqlmodel import Field

from lugbook.records.facts import Fact, checked

FAILURES = ("conductor broke", "pulled out", "lug cracked", "not to failure")
PULL_KINDS = ("sample", "proof")
SIZE_SYSTEMS = ("AWG", "SAE", "mm2", "kcmil")
JOININGS = ("crimped", "soldered", "clamped")


class Operator(Fact, table=True):
    """Who makes or measures."""

    __tablename__ = "operator"
    __table_args__ = checked(text=("name", "note"))

    name: str
    note: str | None = None


class Conductor(Fact, table=True):
    """What a cable is made of."""

    __tablename__ = "conductor"
    __table_args__ = checked(
        text=("name", "size", "strands", "strand_class", "note"),
        words={"size_system": SIZE_SYSTEMS},
        real={"area_mm2": (0.05, 2000), "insulation_celsius": (0, 300)},
        whole={"tinned": (0, 1)},
    )

    name: str
    size: str
    """As the trade writes it: "2/0 AWG", "70 mm2"."""
    size_system: str
    area_mm2: float
    """Metal cross-section: as given, else nominal for the size."""
    tinned: int | None = None
    """1 tinned, 0 bare, null not known."""
    strands: str | None = None
    insulation_celsius: float | None = None
    note: str | None = None
    strand_class: str | None = None
    """How fine its strands are, by the class of its maker or standard; null when not known."""


class Lug(Fact, table=True):
    """The part that is crimped on."""

    __tablename__ = "lug"
    __table_args__ = checked(
        text=("name", "barrel_size", "material", "plating", "note"),
        real={"stud_millimetre": (1, 60), "wall_millimetre": (0, 50)},
    )

    name: str
    barrel_size: str | None = None
    stud_millimetre: float | None = None
    material: str | None = None
    plating: str | None = None
    note: str | None = None
    wall_millimetre: float | None = None
    """Of the barrel; null when not measured."""


class Tool(Fact, table=True):
    """What crimps."""

    __tablename__ = "tool"
    __table_args__ = checked(text=("name", "kind", "note"))

    name: str
    kind: str | None = None
    note: str | None = None


class Recipe(Fact, table=True):
    """Conductor, lug, tool, die setting, presses, strip length and sealing: how a terminal is made."""

    __tablename__ = "recipe"
    __table_args__ = checked(
        text=("name", "die", "sealing", "compound", "note", "press_order", "pull_standard"),
        whole={"presses": (0, 50)},
        words={"joining": JOININGS},
        real={"strip_millimetre": (0, 500), "crimp_millimetre": (0, 200), "share_percent": (1, 100)},
    )

    name: str
    conductor_id: int = Field(foreign_key="conductor.id")
    lug_id: int = Field(foreign_key="lug.id")
    tool_id: int = Field(foreign_key="tool.id")
    die: str
    presses: int
    strip_millimetre: float
    sealing: str | None = None
    compound: str | None = None
    note: str | None = None
    joining: str | None = None
    """Null means crimped."""
    press_order: str | None = None
    """Which press comes first, in the owner's words."""
    crimp_millimetre: float | None = None
    """Across the finished crimp; null when not measured."""
    pull_standard: str | None = None
    """Whose pull minimum the owner holds it against; null when none was chosen."""
    share_percent: float | None = None
    """Of all such crimps that are to reach the bound; null means 99."""


class Pull(Fact, table=True):
    """A sample pulled to failure, or a load held on a made terminal."""

    __tablename__ = "pull"
    __table_args__ = checked(
        text=("sample", "note"),
        utc=("pulled_at",),
        real={"pull_newton": (0, 200_000), "hold_second": (0, 86_400)},
        words={"kind": PULL_KINDS, "failure": FAILURES},
        whole={"moved": (0, 1), "confirmed": (0, 1)},
    )

    recipe_id: int = Field(foreign_key="recipe.id")
    kind: str
    sample: str
    pulled_at: str
    pull_newton: float
    failure: str
    terminal_id: int | None = Field(default=None, foreign_key="terminal.id")
    """The made terminal a proof pull was held on; null for a sample."""
    hold_second: float | None = None
    instrument_id: int | None = Field(default=None, foreign_key="instrument.id")
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    note: str | None = None
    moved: int | None = None
    """Of a proof pull: 1 it moved, 0 it did not; null when nobody noted it."""
    confirmed: int | None = None
    """1 when the force looked wrong and the operator said it is right; null otherwise."""
