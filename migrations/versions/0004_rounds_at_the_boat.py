"""Rounds at the boat: when each was opened, with what; which spans were skipped and why; when it was closed. And what hangs on a span."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

UTC_GLOB = (
    "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9].[0-9][0-9][0-9][0-9][0-9][0-9]Z"
)


def upgrade() -> None:
    _table(
        "round_opening",
        sa.Column("round_id", sa.Integer(), nullable=False),
        sa.Column("opened_at", sa.String(), nullable=False),
        sa.Column("voltage_instrument_id", sa.Integer(), nullable=False),
        sa.Column("current_instrument_id", sa.Integer(), nullable=False),
        sa.Column("thermometer_id", sa.Integer(), nullable=True),
        sa.Column("operator_id", sa.Integer(), nullable=True),
        sa.Column("drop_unit", sa.String(), nullable=False),
        sa.Column("current_unit", sa.String(), nullable=False),
        sa.Column("temperature_unit", sa.String(), nullable=False),
        sa.Column("current_ampere", sa.Float(), nullable=True),
        sa.Column("weather", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        refers={"round_id": "round", "voltage_instrument_id": "instrument", "current_instrument_id": "instrument",
                "thermometer_id": "instrument", "operator_id": "operator"},
        rules={
            "as_typed": _is_text("as_typed"),
            "weather": _is_text("weather"),
            "note": _is_text("note"),
            "current_ampere": "current_ampere IS NULL OR typeof(current_ampere) = 'real' "
                              "AND current_ampere BETWEEN 0 AND 10000",
            "drop_unit": "drop_unit IN ('mV', 'uV', 'V')",
            "current_unit": "current_unit IN ('A', 'mA', 'kA')",
            "temperature_unit": "temperature_unit IN ('degC', 'degF', 'K')",
            "opened_at": f"opened_at GLOB '{UTC_GLOB}'",
        },
    )
    _table(
        "round_skip",
        sa.Column("round_id", sa.Integer(), nullable=False),
        sa.Column("span_id", sa.Integer(), nullable=False),
        sa.Column("skipped_at", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("operator_id", sa.Integer(), nullable=True),
        refers={"round_id": "round", "span_id": "span", "operator_id": "operator"},
        rules={
            "as_typed": _is_text("as_typed"),
            "reason": _is_text("reason"),
            "skipped_at": f"skipped_at GLOB '{UTC_GLOB}'",
            "reason_said": "length(trim(reason)) > 0",
        },
    )
    _table(
        "round_closing",
        sa.Column("round_id", sa.Integer(), nullable=False),
        sa.Column("closed_at", sa.String(), nullable=False),
        sa.Column("operator_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(), nullable=True),
        refers={"round_id": "round", "operator_id": "operator"},
        rules={
            "as_typed": _is_text("as_typed"),
            "note": _is_text("note"),
            "closed_at": f"closed_at GLOB '{UTC_GLOB}'",
        },
    )
    op.execute(
        "ALTER TABLE span ADD COLUMN duty VARCHAR CONSTRAINT ck_span_duty CHECK "
        "(duty IN ('starting', 'steering', 'bilge pump', 'grounding'))"
    )


def _is_text(column):
    return f"{column} IS NULL OR typeof({column}) = 'text'"


def _table(name, *columns, refers, rules):
    """A table of facts: identity from the ledger, the import it came by, what was typed, and its own columns."""
    op.create_table(
        name,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        sa.Column("as_typed", sa.String(), nullable=True),
        *columns,
        *(sa.CheckConstraint(rule, name=op.f(f"ck_{name}_{called}")) for called, rule in rules.items()),
        sa.ForeignKeyConstraint(["id"], ["ledger.seq"], name=op.f(f"fk_{name}_id_ledger")),
        sa.ForeignKeyConstraint(["import_id"], ["import_file.id"], name=op.f(f"fk_{name}_import_id_import_file")),
        *(
            sa.ForeignKeyConstraint([column], [f"{table}.id"], name=op.f(f"fk_{name}_{column}_{table}"))
            for column, table in refers.items()
        ),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{name}")),
    )
