"""The table of what was shown to others: each issue of a report."""

from sqlmodel import Field

from lugbook.records.facts import Fact, checked


class ReportIssue(Fact, table=True):
    """A report as it was given out, known by the digests of its two files."""

    __tablename__ = "report_issue"
    __table_args__ = checked(
        text=("number", "subject", "html_digest", "pdf_digest", "issued_to"),
        whole={"is_private": (0, 1)},
        utc=("issued_at",),
        day=("as_of",),
    )

    build_id: int = Field(foreign_key="build.id")
    number: str
    """As printed on it; no two issues of a build have the same."""
    issued_at: str
    as_of: str
    """Day up to which it tells what the book says."""
    subject: str | None = None
    """Tag of the one cable or span it is on; null for the whole build."""
    is_private: int
    html_digest: str
    """SHA-256 of the file, 64 hex digits."""
    pdf_digest: str
    replaces_id: int | None = Field(default=None, foreign_key="report_issue.id")
    issued_to: str | None = None
    """Whom it was made for, in the owner's words; null when not said."""
    operator_id: int | None = Field(default=None, foreign_key="operator.id")
