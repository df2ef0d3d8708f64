"""What a reading is worth: ranges and offsets of meters, thermometers, where the probes stood."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for table, column, most in (
        ("instrument", "least", "1e+06"),
        ("instrument", "greatest", "1e+09"),
        ("instrument", "zero_offset", "1e+06"),
        ("span", "probe_millimetre", "100000"),
        ("span", "placement_millimetre", "100"),
    ):
        op.execute(
            f"ALTER TABLE {table} ADD COLUMN {column} FLOAT CONSTRAINT ck_{table}_{column} CHECK "
            f"({column} IS NULL OR typeof({column}) = 'real' AND {column} BETWEEN 0 AND {most})"
        )
    with op.batch_alter_table("reading", recreate="always") as batch:
        batch.add_column(sa.Column("thermometer_id", sa.Integer(), nullable=True))
        batch.create_foreign_key(
            op.f("fk_reading_thermometer_id_instrument"), "instrument", ["thermometer_id"], ["id"]
        )
    op.create_table(
        "instrument_range",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.Column("as_typed", sa.String(), nullable=True),
        sa.Column("instrument_id", sa.Integer(), nullable=False),
        sa.Column("greatest", sa.Float(), nullable=False),
        sa.Column("percent_of_reading", sa.Float(), nullable=False),
        sa.Column("counts", sa.Float(), nullable=False),
        sa.Column("resolution", sa.Float(), nullable=False),
        sa.CheckConstraint(
            "as_typed IS NULL OR typeof(as_typed) = 'text'", name=op.f("ck_instrument_range_as_typed")
        ),
        *(
            sa.CheckConstraint(
                f"{column} IS NULL OR typeof({column}) = 'real' AND {column} BETWEEN 0 AND {most}",
                name=op.f(f"ck_instrument_range_{column}"),
            )
            for column, most in (
                ("greatest", "1e+09"),
                ("percent_of_reading", "100"),
                ("counts", "10000"),
                ("resolution", "1e+06"),
            )
        ),
        sa.ForeignKeyConstraint(["id"], ["ledger.seq"], name=op.f("fk_instrument_range_id_ledger")),
        sa.ForeignKeyConstraint(
            ["import_id"], ["import_file.id"], name=op.f("fk_instrument_range_import_id_import_file")
        ),
        sa.ForeignKeyConstraint(
            ["instrument_id"], ["instrument.id"], name=op.f("fk_instrument_range_instrument_id_instrument")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_instrument_range")),
    )
