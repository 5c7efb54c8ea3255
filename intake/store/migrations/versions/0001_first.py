"""The first schema."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

KEY = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Compared character by character, so that a prefix is a range."""

SQLITE_GUARDS = (
    """
    CREATE TRIGGER events_stay BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'the history is never deleted'); END
    """,
    """
    CREATE TRIGGER events_once BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq)
    BEGIN SELECT RAISE(ABORT, 'the history is never replaced'); END
    """,
    """
    CREATE TRIGGER events_keep BEFORE UPDATE ON events
    WHEN NEW.personal IS NOT NULL OR NEW.salt IS NOT NULL
      OR NEW.seq IS NOT OLD.seq OR NEW.at IS NOT OLD.at OR NEW.who IS NOT OLD.who OR NEW.kind IS NOT OLD.kind
      OR NEW.case_id IS NOT OLD.case_id OR NEW.job IS NOT OLD.job OR NEW.practice IS NOT OLD.practice
      OR NEW.arrival_id IS NOT OLD.arrival_id OR NEW.details IS NOT OLD.details OR NEW.digest IS NOT OLD.digest
      OR NEW.previous IS NOT OLD.previous OR NEW.hash IS NOT OLD.hash
    BEGIN SELECT RAISE(ABORT, 'the history is never changed'); END
    """,
)
POSTGRES_GUARDS = (
    """
    CREATE FUNCTION refuse_change_of_history() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION 'the history is never changed or deleted'; END $$
    """,
    """
    CREATE TRIGGER events_stay BEFORE DELETE ON events
    FOR EACH ROW EXECUTE FUNCTION refuse_change_of_history()
    """,
    """
    CREATE TRIGGER events_whole BEFORE TRUNCATE ON events
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_history()
    """,
    """
    CREATE TRIGGER events_keep BEFORE UPDATE ON events FOR EACH ROW
    WHEN (NEW.personal IS NOT NULL OR NEW.salt IS NOT NULL OR
      (NEW.seq, NEW.at, NEW.who, NEW.kind, NEW.case_id, NEW.job, NEW.practice, NEW.arrival_id, NEW.details, NEW.digest,
       NEW.previous, NEW.hash)
      IS DISTINCT FROM
      (OLD.seq, OLD.at, OLD.who, OLD.kind, OLD.case_id, OLD.job, OLD.practice, OLD.arrival_id, OLD.details, OLD.digest,
       OLD.previous, OLD.hash))
    EXECUTE FUNCTION refuse_change_of_history()
    """,
)
"""Only what names a patient may be destroyed, both columns at once: lawful erasure."""


def upgrade() -> None:
    """Make the tables, the guards of the history and its beginning."""
    _directory()
    _cases()
    _jobs_and_paper()
    _desk()
    _history()
    guards = POSTGRES_GUARDS if op.get_context().dialect.name == "postgresql" else SQLITE_GUARDS
    for guard in guards:
        op.execute(guard)
    op.execute(sa.text("INSERT INTO chain_head (id, seq, hash) VALUES (1, 0, :first)").bindparams(first="0" * 64))


def _directory() -> None:
    op.create_table(
        "practices",
        sa.Column("code", KEY, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("details", sa.Text(), nullable=False),
        sa.Column("search_key", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_practices"),
    )
    op.create_table(
        "prescribers",
        sa.Column("practice_code", KEY, nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["practice_code"], ["practices.code"], name="fk_prescribers_practice_code"),
        sa.PrimaryKeyConstraint("practice_code", "position", name="pk_prescribers"),
    )


def _cases() -> None:
    op.create_table(
        "cases",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token", KEY, nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("prescription", sa.Text(), nullable=False),
        sa.Column("practice_code", KEY, nullable=True),
        sa.Column("practice_name", sa.Text(), nullable=False),
        sa.Column("prescriber", sa.Text(), nullable=False),
        sa.Column("patient_label", sa.Text(), nullable=False),
        sa.Column("patient_reference", sa.Text(), nullable=False),
        sa.Column("stream", sa.Text(), nullable=False),
        sa.Column("hygiene", sa.Text(), nullable=False),
        sa.Column("arrived", sa.DateTime(), nullable=False),
        sa.Column("appointment", sa.Text(), nullable=True),
        sa.Column("pour_by", sa.DateTime(), nullable=True),
        sa.Column("booked", sa.DateTime(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("state IN ('open', 'withdrawn')", name="ck_cases_state"),
        sa.CheckConstraint("stream IN ('post', 'scan')", name="ck_cases_stream"),
        sa.ForeignKeyConstraint(["practice_code"], ["practices.code"], name="fk_cases_practice_code"),
        sa.PrimaryKeyConstraint("id", name="pk_cases"),
        sa.UniqueConstraint("token", name="uq_cases_token"),
    )
    op.create_index("ix_cases_booked", "cases", ["booked"], unique=False)
    op.create_index("ix_cases_practice_code", "cases", ["practice_code"], unique=False)
    op.create_table(
        "case_words",
        sa.Column("case_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("word", KEY, nullable=False),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_case_words_case_id"),
        sa.PrimaryKeyConstraint("case_id", "word", name="pk_case_words"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_case_words_word_case_id", "case_words", ["word", "case_id"], unique=False)
    op.create_table(
        "items",
        sa.Column("case_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("arch", sa.Text(), nullable=True),
        sa.Column("material", sa.Text(), nullable=True),
        sa.Column("taken", sa.Text(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=True),
        sa.Column("mm", sa.Double(), nullable=True),
        sa.Column("source", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_items_case_id"),
        sa.PrimaryKeyConstraint("case_id", "position", name="pk_items"),
    )


def _jobs_and_paper() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", KEY, nullable=False),
        sa.Column("backward", KEY, nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column("category", sa.Text(), nullable=False),
        sa.Column("category_name", sa.Text(), nullable=False),
        sa.Column("box_colour", sa.Text(), nullable=False),
        sa.Column("box_hex", sa.Text(), nullable=False),
        sa.Column("appliances", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("outlook", sa.Text(), nullable=True),
        sa.Column("latest_start", sa.Date(), nullable=True),
        sa.Column("must_leave", sa.Date(), nullable=True),
        sa.Column("reply_by", sa.DateTime(), nullable=True),
        sa.Column("deadlines", sa.Text(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("state IN ('held', 'clear', 'gone', 'withdrawn')", name="ck_jobs_state"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_jobs_case_id"),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
        sa.UniqueConstraint("case_id", "category", name="uq_jobs_case_id_category"),
        sa.UniqueConstraint("number", name="uq_jobs_number"),
    )
    op.create_index("ix_jobs_backward", "jobs", ["backward"], unique=False)
    op.create_index("ix_jobs_state", "jobs", ["state"], unique=False)
    op.create_table(
        "documents",
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
        sa.CheckConstraint("(kind = 'ticket') = (job_id IS NOT NULL)", name="ck_documents_ticket_of_a_job"),
        sa.CheckConstraint("(state = 'failed') = (problem IS NOT NULL)", name="ck_documents_problem"),
        sa.CheckConstraint("kind IN ('ticket', 'letter')", name="ck_documents_kind"),
        sa.CheckConstraint(
            "state IN ('waiting', 'drawn', 'sent', 'done', 'failed', 'cancelled')", name="ck_documents_state"
        ),
        sa.CheckConstraint("copy >= 1", name="ck_documents_copy"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_documents_job_id"),
        sa.ForeignKeyConstraint(["practice_code"], ["practices.code"], name="fk_documents_practice_code"),
        sa.PrimaryKeyConstraint("id", name="pk_documents"),
        sa.UniqueConstraint("job_id", "copy", name="uq_documents_job_id_copy"),
    )
    op.create_index("ix_documents_state", "documents", ["state"], unique=False)
    op.create_table(
        "document_files",
        sa.Column("document_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["document_id"], ["documents.id"], name="fk_document_files_document_id"),
        sa.PrimaryKeyConstraint("document_id", name="pk_document_files"),
    )
    op.create_table(
        "queries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("requirement", sa.Text(), nullable=False),
        sa.Column("level", sa.Text(), nullable=False),
        sa.Column("appliance", sa.Integer(), nullable=True),
        sa.Column("question", sa.Text(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("opened", sa.DateTime(), nullable=False),
        sa.Column("letter_id", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("level IN ('stops', 'asks')", name="ck_queries_level"),
        sa.CheckConstraint("state IN ('open', 'answered', 'withdrawn')", name="ck_queries_state"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_queries_case_id"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_queries_job_id"),
        sa.ForeignKeyConstraint(["letter_id"], ["documents.id"], name="fk_queries_letter_id"),
        sa.PrimaryKeyConstraint("id", name="pk_queries"),
    )
    op.create_index("ix_queries_case_id", "queries", ["case_id"], unique=False)
    op.create_index("ix_queries_letter_id", "queries", ["letter_id"], unique=False)
    op.create_index("ix_queries_state_case_id", "queries", ["state", "case_id"], unique=False)


def _desk() -> None:
    op.create_table(
        "arrivals",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("stream", sa.Text(), nullable=False),
        sa.Column("arrived", sa.DateTime(), nullable=False),
        sa.Column("practice", sa.Text(), nullable=False),
        sa.Column("patient_label", sa.Text(), nullable=False),
        sa.Column("patient_reference", sa.Text(), nullable=False),
        sa.Column("prescription", sa.Text(), nullable=False),
        sa.Column("problem", sa.Text(), nullable=False),
        sa.Column("source_name", sa.Text(), nullable=False),
        sa.Column("fingerprint", KEY, nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.CheckConstraint("state IN ('waiting', 'booked', 'set-aside', 'dismissed')", name="ck_arrivals_state"),
        sa.CheckConstraint("stream IN ('post', 'scan')", name="ck_arrivals_stream"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_arrivals_case_id"),
        sa.PrimaryKeyConstraint("id", name="pk_arrivals"),
        sa.UniqueConstraint("fingerprint", name="uq_arrivals_fingerprint"),
    )
    op.create_index("ix_arrivals_case_id", "arrivals", ["case_id"], unique=False)
    op.create_index("ix_arrivals_state_arrived", "arrivals", ["state", "arrived"], unique=False)
    op.create_table(
        "drafts",
        sa.Column("desk", KEY, nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("saved", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("desk", name="pk_drafts"),
    )
    op.create_table(
        "counters",
        sa.Column("name", KEY, nullable=False),
        sa.Column("value", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_counters"),
    )


def _history() -> None:
    op.create_table(
        "events",
        sa.Column("seq", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=True),
        sa.Column("job", sa.Text(), nullable=True),
        sa.Column("practice", sa.Text(), nullable=True),
        sa.Column("arrival_id", sa.Integer(), nullable=True),
        sa.Column("details", sa.Text(), nullable=False),
        sa.Column("personal", sa.Text(), nullable=True),
        sa.Column("salt", sa.Text(), nullable=True),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("previous", sa.Text(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_events"),
    )
    op.create_index(
        "ix_events_arrival_id",
        "events",
        ["arrival_id"],
        unique=False,
        sqlite_where=sa.text("arrival_id IS NOT NULL"),
        postgresql_where=sa.text("arrival_id IS NOT NULL"),
    )
    op.create_index("ix_events_case_id", "events", ["case_id"], unique=False)
    op.create_index(
        "ix_events_practice",
        "events",
        ["practice"],
        unique=False,
        sqlite_where=sa.text("practice IS NOT NULL"),
        postgresql_where=sa.text("practice IS NOT NULL"),
    )
    op.create_table(
        "chain_head",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.CheckConstraint("id = 1", name="ck_chain_head_one_row"),
        sa.PrimaryKeyConstraint("id", name="pk_chain_head"),
    )
