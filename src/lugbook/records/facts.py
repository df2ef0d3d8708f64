"""What every table of the book shares: an identity from the ledger, and CHECKs on type and range.

No `from __future__ import annotations` in the table files: SQLModel reads the annotations as types.
"""

from collections.abc import Mapping, Sequence

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

UTC_GLOB = "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9].[0-9][0-9][0-9][0-9][0-9][0-9]Z"
DAY_GLOB = "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]"

Range = tuple[float, float]


class Fact(SQLModel):
    """A row that projects one ledger line; `id` is the number of that line."""

    id: int = Field(primary_key=True, foreign_key="ledger.seq")
    import_id: int | None = Field(default=None, foreign_key="import_file.id")
    """The import that brought the row; null when typed by hand."""
    as_typed: str | None = None
    """Canonical JSON of what was typed where it was not already in the column's unit; null when it was."""


def checked(
    *,
    text: Sequence[str] = (),
    real: Mapping[str, Range] | None = None,
    whole: Mapping[str, Range] | None = None,
    words: Mapping[str, Sequence[str]] | None = None,
    utc: Sequence[str] = (),
    day: Sequence[str] = (),
) -> tuple[CheckConstraint, ...]:
    """CHECKs for a table's columns: SQLite lets any type into any column, so each column says its own.

    A null always passes (NOT NULL is the column's own affair). Ranges are inclusive.
    """
    rules: list[CheckConstraint] = [_typed(name, "text") for name in ("as_typed", *text)]
    for name, span in (real or {}).items():
        rules.append(_typed(name, "real", span))
    for name, span in (whole or {}).items():
        rules.append(_typed(name, "integer", span))
    for name, allowed in (words or {}).items():
        listed = ", ".join(f"'{word}'" for word in allowed)
        rules.append(CheckConstraint(f"{name} IN ({listed})", name=name))
    rules += [CheckConstraint(f"{name} GLOB '{UTC_GLOB}'", name=name) for name in utc]
    rules += [CheckConstraint(f"{name} GLOB '{DAY_GLOB}'", name=name) for name in day]
    return tuple(rules)


def _typed(name: str, kind: str, span: Range | None = None) -> CheckConstraint:
    rule = f"{name} IS NULL OR typeof({name}) = '{kind}'"
    if span is not None:
        rule += f" AND {name} BETWEEN {span[0]:g} AND {span[1]:g}"
    return CheckConstraint(rule, name=name)
