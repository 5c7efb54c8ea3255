"""What can be touched: parcels, boxes and where they are, links between cases, days that were closed."""

import json

import sqlalchemy as sa
from alembic import op

from intake.store.folding import words_of_surname

revision = "0004"
down_revision = "0003"

KEY = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Compared character by character, so that a prefix is a range."""
KINDS = (
    "kind IN ('ticket', 'letter', 'blank', 'return-note', 'stickers', 'bench-codes', 'box-labels', 'day-sheet', "
    "'pour-list')"
)
NO_TICKET = sa.text("job_id IS NULL")
STILL_TO_DO = sa.text("finished IS NULL AND state <> 'withdrawn'")


def upgrade() -> None:
    """Widen documents and jobs, make the new tables, and let cases be found by what is made."""
    if op.get_context().dialect.name == "postgresql":
        op.drop_constraint("ck_documents_kind", "documents")
        op.create_check_constraint("ck_documents_kind", "documents", KINDS)
        op.add_column("documents", sa.Column("about", sa.Text(), nullable=False, server_default="{}"))
    else:
        _write_documents_anew()
        for columns in (["practice_code", "practice_name"], ["created"]):
            name = f"ix_documents_{'_'.join(columns)}"
            op.create_index(name, "documents", columns, sqlite_where=NO_TICKET, postgresql_where=NO_TICKET)
    op.add_column("jobs", sa.Column("bench", sa.Text(), nullable=True))
    op.add_column("jobs", sa.Column("moved", sa.DateTime(), nullable=True))
    op.add_column("jobs", sa.Column("finished", sa.DateTime(), nullable=True))
    op.create_index("ix_jobs_must_leave", "jobs", ["must_leave"], unique=False)
    op.create_index("ix_cases_arrived", "cases", ["arrived"], unique=False)
    op.create_index("ix_arrivals_arrived", "arrivals", ["arrived"], unique=False)
    op.create_index("ix_jobs_bench", "jobs", ["bench"], unique=False)
    op.create_index(
        "ix_jobs_to_do_must_leave", "jobs", ["must_leave"], sqlite_where=STILL_TO_DO, postgresql_where=STILL_TO_DO
    )
    _parcels()
    _hygiene()
    _moves()
    _days()
    _words_of_cases()


def _write_documents_anew() -> None:
    """SQLite changes no constraint of a table: its rows move into a new one."""
    op.create_table(
        "documents_anew",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("practice_code", KEY, nullable=True),
        sa.Column("practice_name", sa.Text(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("queue", sa.Text(), nullable=True),
        sa.Column("queue_job", sa.Text(), nullable=True),
        sa.Column("problem", sa.Text(), nullable=True),
        sa.Column("created", sa.DateTime(), nullable=False),
        sa.Column("created_by", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("way", sa.Text(), nullable=False, server_default="print"),
        sa.Column("address", sa.Text(), nullable=False, server_default=""),
        sa.Column("tried", sa.DateTime(), nullable=True),
        sa.Column("tries", sa.Integer(), nullable=False, server_default="0"),
        sa.Column("about", sa.Text(), nullable=False, server_default="{}"),
        sa.CheckConstraint("(kind = 'ticket') = (job_id IS NOT NULL)", name="ck_documents_ticket_of_a_job"),
        sa.CheckConstraint("(state = 'failed') = (problem IS NOT NULL)", name="ck_documents_problem"),
        sa.CheckConstraint(KINDS, name="ck_documents_kind"),
        sa.CheckConstraint("way IN ('print', 'mail', 'draft')", name="ck_documents_way"),
        sa.CheckConstraint(
            "state IN ('waiting', 'drawn', 'sent', 'done', 'failed', 'cancelled')", name="ck_documents_state"
        ),
        sa.CheckConstraint("copy >= 1", name="ck_documents_copy"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_documents_job_id"),
        sa.ForeignKeyConstraint(["practice_code"], ["practices.code"], name="fk_documents_practice_code"),
        sa.PrimaryKeyConstraint("id", name="pk_documents"),
        sa.UniqueConstraint("job_id", "copy", name="uq_documents_job_id_copy"),
    )
    columns = (
        "id, kind, job_id, practice_code, practice_name, copy, reason, state, queue, queue_job, problem, created, "
        "created_by, version, way, address, tried, tries"
    )
    op.execute(f"INSERT INTO documents_anew ({columns}) SELECT {columns} FROM documents")  # noqa: S608 - names above
    op.drop_table("documents")
    op.rename_table("documents_anew", "documents")
    op.create_index("ix_documents_state", "documents", ["state"], unique=False)


def _parcels() -> None:
    op.create_table(
        "parcels",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("way", sa.Text(), nullable=False),
        sa.Column("label", KEY, nullable=False),
        sa.Column("backward", KEY, nullable=False),
        sa.Column("label_kind", sa.Text(), nullable=False),
        sa.Column("service", sa.Text(), nullable=False),
        sa.Column("practice_code", KEY, nullable=True),
        sa.Column("practice_name", sa.Text(), nullable=False),
        sa.Column("hygiene", sa.Text(), nullable=False),
        sa.Column("seen", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("accepted_by", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("again_of", sa.Integer(), nullable=True),
        sa.CheckConstraint("way IN ('post', 'by-hand')", name="ck_parcels_way"),
        sa.CheckConstraint("label_kind IN ('none', 's10', 'sscc', 'other')", name="ck_parcels_label_kind"),
        sa.CheckConstraint("state IN ('open', 'done', 'refused', 'stopped', 'taken-back')", name="ck_parcels_state"),
        sa.ForeignKeyConstraint(["practice_code"], ["practices.code"], name="fk_parcels_practice_code"),
        sa.ForeignKeyConstraint(["again_of"], ["parcels.id"], name="fk_parcels_again_of"),
        sa.PrimaryKeyConstraint("id", name="pk_parcels"),
    )
    for column in ("at", "backward", "label", "practice_code", "state"):
        op.create_index(f"ix_parcels_{column}", "parcels", [column], unique=False)
    op.create_table(
        "parcel_contents",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("parcel_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("arrival_id", sa.Integer(), nullable=True),
        sa.Column("found", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("taken_out", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('case', 'part', 'repair', 'nothing', 'danger', 'other')", name="ck_parcel_contents_kind"
        ),
        sa.ForeignKeyConstraint(["parcel_id"], ["parcels.id"], name="fk_parcel_contents_parcel_id"),
        sa.ForeignKeyConstraint(["arrival_id"], ["arrivals.id"], name="fk_parcel_contents_arrival_id"),
        sa.PrimaryKeyConstraint("id", name="pk_parcel_contents"),
    )
    for column in ("arrival_id", "parcel_id"):
        op.create_index(f"ix_parcel_contents_{column}", "parcel_contents", [column], unique=False)
    op.create_table(
        "parcel_files",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("parcel_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("sha256", KEY, nullable=False),
        sa.Column("bytes", sa.BigInteger(), nullable=False),
        sa.Column("taken_out", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["parcel_id"], ["parcels.id"], name="fk_parcel_files_parcel_id"),
        sa.PrimaryKeyConstraint("id", name="pk_parcel_files"),
    )
    op.create_index("ix_parcel_files_parcel_id", "parcel_files", ["parcel_id"], unique=False)


def _hygiene() -> None:
    op.create_table(
        "disinfections",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("agent", sa.Text(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("parcel_id", sa.Integer(), nullable=True),
        sa.Column("case_id", sa.Integer(), nullable=True),
        sa.Column("taken_back", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["parcel_id"], ["parcels.id"], name="fk_disinfections_parcel_id"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_disinfections_case_id"),
        sa.PrimaryKeyConstraint("id", name="pk_disinfections"),
    )
    op.create_index("ix_disinfections_parcel_id", "disinfections", ["parcel_id"], unique=False)
    op.create_index("ix_disinfections_case_id", "disinfections", ["case_id"], unique=False)
    op.create_table(
        "incidents",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("parcel_id", sa.Integer(), nullable=True),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("done", sa.Text(), nullable=False),
        sa.Column("told", sa.Text(), nullable=False),
        sa.Column("closed", sa.DateTime(), nullable=True),
        sa.Column("closed_by", sa.Text(), nullable=False),
        sa.CheckConstraint("kind IN ('sharps', 'blood', 'tissue', 'chemical', 'other')", name="ck_incidents_kind"),
        sa.ForeignKeyConstraint(["parcel_id"], ["parcels.id"], name="fk_incidents_parcel_id"),
        sa.PrimaryKeyConstraint("id", name="pk_incidents"),
    )
    op.create_index("ix_incidents_parcel_id", "incidents", ["parcel_id"], unique=False)


def _moves() -> None:
    op.create_table(
        "moves",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("bench", sa.Text(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("taken_back", sa.Boolean(), nullable=False),
        sa.CheckConstraint("kind IN ('handed-over', 'in', 'out', 'back')", name="ck_moves_kind"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_moves_job_id"),
        sa.PrimaryKeyConstraint("id", name="pk_moves"),
    )
    op.create_index("ix_moves_at", "moves", ["at"], unique=False)
    op.create_index("ix_moves_job_id", "moves", ["job_id"], unique=False)
    op.create_table(
        "pourings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("taken_back", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_pourings_case_id"),
        sa.PrimaryKeyConstraint("id", name="pk_pourings"),
    )
    op.create_index("ix_pourings_case_id", "pourings", ["case_id"], unique=False)
    op.create_table(
        "boxes",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("since", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_boxes_job_id"),
        sa.PrimaryKeyConstraint("number", name="pk_boxes"),
        sa.UniqueConstraint("job_id", name="uq_boxes_job_id"),
    )


def _days() -> None:
    op.create_table(
        "case_links",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column("of_case_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("taken_back", sa.Boolean(), nullable=False),
        sa.CheckConstraint("kind IN ('split', 'merged', 'remake')", name="ck_case_links_kind"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_case_links_case_id"),
        sa.ForeignKeyConstraint(["of_case_id"], ["cases.id"], name="fk_case_links_of_case_id"),
        sa.PrimaryKeyConstraint("id", name="pk_case_links"),
    )
    op.create_index("ix_case_links_case_id", "case_links", ["case_id"], unique=False)
    op.create_index("ix_case_links_of_case_id", "case_links", ["of_case_id"], unique=False)
    op.create_table(
        "closings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("counts", sa.Text(), nullable=False),
        sa.Column("left", sa.Text(), nullable=False),
        sa.Column("events", sa.Integer(), nullable=False),
        sa.Column("head", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_closings"),
    )
    op.create_index("ix_closings_day", "closings", ["day"], unique=False)


def _words_of_cases() -> None:
    """What each case asks to be made becomes a word of it, `@whitening-tray`, and so does its prescriber's surname."""
    bind = op.get_bind()
    written = sa.text("INSERT INTO case_words (case_id, word) VALUES (:case_id, :word) ON CONFLICT DO NOTHING")
    found = bind.execute(sa.text("SELECT id, prescription, prescriber FROM cases ORDER BY id"))
    while rows := found.fetchmany(1000):
        words = [
            {"case_id": case_id, "word": word}
            for case_id, prescription, prescriber in rows
            for word in sorted(
                {f"@{appliance['type']}" for appliance in json.loads(prescription)["appliances"]}
                | words_of_surname(prescriber)
            )
        ]
        if words:
            bind.execute(written, words)
