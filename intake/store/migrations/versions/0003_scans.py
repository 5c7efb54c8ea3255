"""Scans: the files of an arrival, what was measured of them, deliveries, mailboxes and senders."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

KEY = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Compared character by character, so that a prefix is a range."""


def upgrade() -> None:
    """Make the new tables."""
    _scans()
    _files()
    _arches()
    _senders()


def _scans() -> None:
    op.create_table(
        "scans",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sha256", KEY, nullable=False),
        sa.Column("bytes", sa.BigInteger(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("problem", sa.Text(), nullable=False),
        sa.Column("format", sa.Text(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=True),
        sa.Column("left_out", sa.Integer(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("figures", sa.Text(), nullable=True),
        sa.Column("like", sa.Text(), nullable=False),
        sa.Column("size", sa.Double(), nullable=True),
        sa.CheckConstraint("state IN ('unchecked', 'checked', 'unreadable')", name="ck_scans_state"),
        sa.PrimaryKeyConstraint("id", name="pk_scans"),
        sa.UniqueConstraint("sha256", name="uq_scans_sha256"),
    )
    op.create_index("ix_scans_size", "scans", ["size"], unique=False)
    op.create_index("ix_scans_state", "scans", ["state"], unique=False)
    op.create_table(
        "scan_pictures",
        sa.Column("scan_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("png", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["scan_id"], ["scans.id"], name="fk_scan_pictures_scan_id"),
        sa.PrimaryKeyConstraint("scan_id", name="pk_scan_pictures"),
    )


def _files() -> None:
    op.create_table(
        "arrival_files",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("arrival_id", sa.Integer(), nullable=False),
        sa.Column("came_with", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("sha256", KEY, nullable=False),
        sa.Column("bytes", sa.BigInteger(), nullable=False),
        sa.Column("scan_id", sa.Integer(), nullable=True),
        sa.Column("problem", sa.Text(), nullable=False),
        sa.Column("unit_chosen", sa.Text(), nullable=True),
        sa.Column("jaw_chosen", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('scan', 'picture', 'pdf', 'message', 'prescription', 'refused')", name="ck_arrival_files_kind"
        ),
        sa.ForeignKeyConstraint(["arrival_id"], ["arrivals.id"], name="fk_arrival_files_arrival_id"),
        sa.ForeignKeyConstraint(["came_with"], ["arrivals.id"], name="fk_arrival_files_came_with"),
        sa.ForeignKeyConstraint(["scan_id"], ["scans.id"], name="fk_arrival_files_scan_id"),
        sa.PrimaryKeyConstraint("id", name="pk_arrival_files"),
    )
    op.create_index("ix_arrival_files_arrival_id", "arrival_files", ["arrival_id"], unique=False)
    op.create_index("ix_arrival_files_came_with", "arrival_files", ["came_with"], unique=False)
    op.create_index("ix_arrival_files_scan_id", "arrival_files", ["scan_id"], unique=False)
    op.create_index("ix_arrival_files_sha256", "arrival_files", ["sha256"], unique=False)
    op.create_table(
        "deliveries",
        sa.Column("key", KEY, nullable=False),
        sa.Column("arrival_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("sender", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["arrival_id"], ["arrivals.id"], name="fk_deliveries_arrival_id"),
        sa.PrimaryKeyConstraint("key", name="pk_deliveries"),
    )
    op.create_index("ix_deliveries_arrival_id", "deliveries", ["arrival_id"], unique=False)


def _arches() -> None:
    op.create_table(
        "arches",
        sa.Column("arrival_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("of", sa.Text(), nullable=False),
        sa.Column("problem", sa.Text(), nullable=False),
        sa.Column("figures", sa.Text(), nullable=True),
        sa.Column("bite", sa.Text(), nullable=True),
        sa.Column("front", sa.LargeBinary(), nullable=False),
        sa.Column("right", sa.LargeBinary(), nullable=False),
        sa.Column("left", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["arrival_id"], ["arrivals.id"], name="fk_arches_arrival_id"),
        sa.PrimaryKeyConstraint("arrival_id", name="pk_arches"),
    )


def _senders() -> None:
    op.create_table(
        "mailboxes",
        sa.Column("name", KEY, nullable=False),
        sa.Column("validity", sa.BigInteger(), nullable=False),
        sa.Column("last", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_mailboxes"),
    )
    op.create_table(
        "senders",
        sa.Column("address", KEY, nullable=False),
        sa.Column("practice_code", KEY, nullable=True),
        sa.ForeignKeyConstraint(["practice_code"], ["practices.code"], name="fk_senders_practice_code"),
        sa.PrimaryKeyConstraint("address", name="pk_senders"),
    )
