"""What the lab lays down: editions of its setup, the people at its desks, and the edition that judged a case."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"

KEY = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Compared character by character, so that a prefix is a range."""


def upgrade() -> None:
    """Make the new tables; cases of before say nothing of the edition that judged them."""
    op.add_column("cases", sa.Column("edition", sa.Integer(), nullable=True))
    op.create_table(
        "setup_editions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("sha256", KEY, nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("of_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("source IN ('first', 'window', 'file', 'put-back')", name="ck_setup_editions_source"),
        sa.ForeignKeyConstraint(["of_id"], ["setup_editions.id"], name="fk_setup_editions_of_id"),
        sa.PrimaryKeyConstraint("id", name="pk_setup_editions"),
    )
    op.create_index("ix_setup_editions_sha256", "setup_editions", ["sha256"], unique=False)
    op.create_table(
        "people",
        sa.Column("initials", KEY, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.Text(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("pin", sa.Text(), nullable=True),
        sa.Column("wrong", sa.Integer(), nullable=False),
        sa.Column("closed_until", sa.DateTime(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("role IN ('desk', 'lead')", name="ck_people_role"),
        sa.PrimaryKeyConstraint("initials", name="pk_people"),
    )
