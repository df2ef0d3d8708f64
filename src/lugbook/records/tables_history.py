"""The tables that hold the book's own history: ledger, imports, corrections, withdrawals."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from lugbook.records.facts import Fact, checked


class Ledger(SQLModel, table=True):
    """One append-only line per fact; the typed tables are its projections."""

    __tablename__ = "ledger"
    __table_args__ = (
        CheckConstraint("typeof(seq) = 'integer' AND seq >= 1", name="seq"),
        CheckConstraint("typeof(kind) = 'text'", name="kind"),
        CheckConstraint("typeof(payload) = 'blob'", name="payload"),
        CheckConstraint("typeof(prev) = 'blob' AND length(prev) = 32", name="prev"),
        CheckConstraint("typeof(hash) = 'blob' AND length(hash) = 32", name="hash"),
    )

    seq: int = Field(primary_key=True)
    """1, 2, 3 ... without gaps: the order of the book, whatever any clock said."""
    kind: str
    payload: bytes
    """Canonical bytes of the line (see ledger.py)."""
    prev: bytes
    """Hash of line seq - 1; 32 zero bytes at line 1."""
    hash: bytes


class ImportFile(Fact, table=True):
    """One file that was imported."""

    __tablename__ = "import_file"
    __table_args__ = checked(text=("kind", "file_name", "digest"), whole={"line_count": (0, 1e9)})

    kind: str
    file_name: str
    """Name without folder, as text only."""
    digest: str
    """SHA-256 of the file's bytes, 64 hex digits."""
    line_count: int


class Correction(Fact, table=True):
    """A row replaced by a better one; the old row stays."""

    __tablename__ = "correction"
    __table_args__ = (
        *checked(text=("reason",)),
        CheckConstraint("length(trim(reason)) > 0", name="reason_said"),
    )

    replaced_id: int = Field(foreign_key="ledger.seq", unique=True)
    replacement_id: int = Field(foreign_key="ledger.seq", unique=True)
    reason: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    """Who corrected it; null when not said."""


class Withdrawal(Fact, table=True):
    """A row that no longer counts; it stays and can be read."""

    __tablename__ = "withdrawal"
    __table_args__ = (
        *checked(text=("reason",)),
        CheckConstraint("length(trim(reason)) > 0", name="reason_said"),
    )

    withdrawn_id: int = Field(foreign_key="ledger.seq", unique=True)
    reason: str
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
    """Who withdrew it; null when not said."""
