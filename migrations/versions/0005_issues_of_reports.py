"""Issues of reports, by the digests of their files; and the digest of the print that was made of a photo when it was kept."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

UTC_GLOB = (
    "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9].[0-9][0-9][0-9][0-9][0-9][0-9]Z"
)
DAY_GLOB = "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]"
TEXTS = ("as_typed", "number", "subject", "html_digest", "pdf_digest", "issued_to")
REFERS = {"build_id": "build", "replaces_id": "report_issue", "operator_id": "operator"}


def upgrade() -> None:
    rules = {
        **{column: f"{column} IS NULL OR typeof({column}) = 'text'" for column in TEXTS},
        "is_private": "is_private IS NULL OR typeof(is_private) = 'integer' AND is_private BETWEEN 0 AND 1",
        "issued_at": f"issued_at GLOB '{UTC_GLOB}'",
        "as_of": f"as_of GLOB '{DAY_GLOB}'",
    }
    op.create_table(
        "report_issue",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.Column("as_typed", sa.String(), nullable=True),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("issued_at", sa.String(), nullable=False),
        sa.Column("as_of", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=True),
        sa.Column("is_private", sa.Integer(), nullable=False),
        sa.Column("html_digest", sa.String(), nullable=False),
        sa.Column("pdf_digest", sa.String(), nullable=False),
        sa.Column("replaces_id", sa.Integer(), nullable=True),
        sa.Column("issued_to", sa.String(), nullable=True),
        sa.Column("operator_id", sa.Integer(), nullable=True),
        *(sa.CheckConstraint(rule, name=op.f(f"ck_report_issue_{called}")) for called, rule in rules.items()),
        sa.ForeignKeyConstraint(["id"], ["ledger.seq"], name=op.f("fk_report_issue_id_ledger")),
        sa.ForeignKeyConstraint(
            ["import_id"], ["import_file.id"], name=op.f("fk_report_issue_import_id_import_file")
        ),
        *(
            sa.ForeignKeyConstraint(
                [column], [f"{table}.id"], name=op.f(f"fk_report_issue_{column}_{table}")
            )
            for column, table in REFERS.items()
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_report_issue")),
    )
    op.execute(
        "ALTER TABLE photo ADD COLUMN print_digest VARCHAR CONSTRAINT ck_photo_print_digest CHECK "
        "(print_digest IS NULL OR typeof(print_digest) = 'text')"
    )
