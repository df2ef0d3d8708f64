"""Proving the crimp: samples, the checklist, criteria of a terminal, what a cable takes and costs."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

ANSWERS = "'yes', 'no', 'not applicable', 'not answered'"
UTC = "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9].[0-9][0-9][0-9][0-9][0-9][0-9]Z"
ONE_OF_TWO = "(terminal_id IS NULL) <> (sample_id IS NULL)"
TYPES = {"text": ("VARCHAR", sa.String), "real": ("FLOAT", sa.Float), "integer": ("INTEGER", sa.Integer)}


def upgrade() -> None:
    for table, column, kind, span in (
        ("conductor", "strand_class", "text", None),
        ("lug", "wall_millimetre", "real", "0 AND 50"),
        ("recipe", "joining", "text", "'crimped', 'soldered', 'clamped'"),
        ("recipe", "press_order", "text", None),
        ("recipe", "crimp_millimetre", "real", "0 AND 200"),
        ("recipe", "pull_standard", "text", None),
        ("recipe", "share_percent", "real", "1 AND 100"),
        ("pull", "moved", "integer", "0 AND 1"),
        ("pull", "confirmed", "integer", "0 AND 1"),
        ("landing", "maker_torque_newton_metre", "real", "0 AND 1000"),
        ("terminal", "die", "text", None),
    ):
        rule = f"{column} IN ({span})" if kind == "text" and span else _rule(column, kind, span)
        op.execute(
            f"ALTER TABLE {table} ADD COLUMN {column} {TYPES[kind][0]} "
            f"CONSTRAINT ck_{table}_{column} CHECK ({rule})"
        )
    with op.batch_alter_table("cable", recreate="always") as batch:
        batch.add_column(sa.Column("recipe_id", sa.Integer(), nullable=True))
        batch.create_foreign_key(op.f("fk_cable_recipe_id_recipe"), "recipe", ["recipe_id"], ["id"])
        for column, kind, span in (
            ("route_metre", "real", "0 AND 500"),
            ("service_loop_metre", "real", "0 AND 500"),
            ("bends", "integer", "0 AND 1000"),
            ("bend_radius_millimetre", "real", "0 AND 10000"),
            ("trim_millimetre", "real", "0 AND 10000"),
            ("loom_metre", "real", "0 AND 500"),
            ("heat_shield_metre", "real", "0 AND 500"),
            ("circuit", "text", None),
            ("circuit_ampere", "real", "0 AND 10000"),
            ("system_volt", "real", "0 AND 1500"),
            ("drop_budget_percent", "real", "0 AND 100"),
            ("quoted_amount", "real", "0 AND 1e+07"),
            ("quoted_currency", "text", None),
        ):
            batch.add_column(sa.Column(column, TYPES[kind][1](), nullable=True))
            batch.create_check_constraint(op.f(f"ck_cable_{column}"), _rule(column, kind, span))
    op.create_table(
        "sample",
        *_fact("sample"),
        *_refers("sample", "recipe", nullable=False),
        *_column("sample", "sample", "text", None, nullable=False),
        *_moment("sample", "tested_at"),
        *_column("sample", "drop_millivolt", "real", "-60000 AND 60000"),
        *_column("sample", "current_ampere", "real", "0 AND 10000"),
        *_column("sample", "joint_celsius", "real", "-40 AND 150"),
        *_column("sample", "length_millimetre", "real", "0 AND 100000"),
        *_column("sample", "width_millimetre", "real", "0 AND 200"),
        *_column("sample", "height_millimetre", "real", "0 AND 200"),
        *_column("sample", "ears", "integer", "0 AND 1"),
        *_column("sample", "strands_cut", "integer", "0 AND 10000"),
        *_refers("sample", "instrument", column="voltage_instrument_id"),
        *_refers("sample", "instrument", column="current_instrument_id"),
        *_refers("sample", "operator"),
        *_column("sample", "note", "text", None),
    )
    with op.batch_alter_table("photo", recreate="always") as batch:
        batch.alter_column("terminal_id", existing_type=sa.Integer(), nullable=True)
        batch.add_column(sa.Column("sample_id", sa.Integer(), nullable=True))
        batch.create_foreign_key(op.f("fk_photo_sample_id_sample"), "sample", ["sample_id"], ["id"])
        batch.create_check_constraint(op.f("ck_photo_of_one"), ONE_OF_TWO)
    op.create_table(
        "workmanship_answer",
        *_fact("workmanship_answer"),
        *_refers("workmanship_answer", "terminal"),
        *_refers("workmanship_answer", "sample"),
        *_column("workmanship_answer", "item", "text", None, nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.CheckConstraint(f"answer IN ({ANSWERS})", name=op.f("ck_workmanship_answer_answer")),
        *_moment("workmanship_answer", "looked_at"),
        *_refers("workmanship_answer", "operator"),
        *_column("workmanship_answer", "note", "text", None),
        sa.CheckConstraint(ONE_OF_TWO, name=op.f("ck_workmanship_answer_of_one")),
    )
    op.create_table(
        "reel",
        *_fact("reel"),
        *_column("reel", "name", "text", None, nullable=False),
        *_refers("reel", "conductor", nullable=False),
        *_column("reel", "length_metre", "real", "0 AND 500", nullable=False),
        *_column("reel", "count", "integer", "1 AND 10000"),
        *_column("reel", "note", "text", None),
    )
    op.create_table(
        "price",
        *_fact("price"),
        *_column("price", "name", "text", None, nullable=False),
        *_column("price", "amount", "real", "0 AND 1e+07", nullable=False),
        *_column("price", "currency", "text", None, nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.CheckConstraint("unit IN ('piece', 'metre')", name=op.f("ck_price_unit")),
        *_column("price", "note", "text", None),
    )


def _rule(column: str, kind: str, span: str | None) -> str:
    return f"{column} IS NULL OR typeof({column}) = '{kind}'" + (f" AND {column} BETWEEN {span}" if span else "")


def _fact(table: str) -> list:
    """What every table has."""
    return [
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("import_id", sa.Integer(), nullable=True),
        *_column(table, "as_typed", "text", None),
        sa.ForeignKeyConstraint(["id"], ["ledger.seq"], name=op.f(f"fk_{table}_id_ledger")),
        sa.ForeignKeyConstraint(
            ["import_id"], ["import_file.id"], name=op.f(f"fk_{table}_import_id_import_file")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    ]


def _column(table: str, column: str, kind: str, span: str | None, *, nullable: bool = True) -> list:
    return [
        sa.Column(column, TYPES[kind][1](), nullable=nullable),
        sa.CheckConstraint(_rule(column, kind, span), name=op.f(f"ck_{table}_{column}")),
    ]


def _moment(table: str, column: str) -> list:
    return [
        sa.Column(column, sa.String(), nullable=False),
        sa.CheckConstraint(f"{column} GLOB '{UTC}'", name=op.f(f"ck_{table}_{column}")),
    ]


def _refers(table: str, other: str, *, nullable: bool = True, column: str = "") -> list:
    column = column or f"{other}_id"
    return [
        sa.Column(column, sa.Integer(), nullable=nullable),
        sa.ForeignKeyConstraint([column], [f"{other}.id"], name=op.f(f"fk_{table}_{column}_{other}")),
    ]
