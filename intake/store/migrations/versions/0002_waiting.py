"""What waits on practices: calls, answers, reminders, promises, e-mail and returned forms."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

KEY = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
"""Compared character by character, so that a prefix is a range."""
KINDS = "kind IN ('ticket', 'letter', 'blank')"
WAYS = "way IN ('print', 'mail', 'draft')"
NO_TICKET = sa.text("job_id IS NULL")


def upgrade() -> None:
    """Widen documents and queries, and make the new tables; what letters asked before is kept."""
    if op.get_context().dialect.name == "postgresql":
        _widen_documents()
    else:
        _write_documents_anew()
    for columns in (["practice_code", "practice_name"], ["created"]):
        name = f"ix_documents_{'_'.join(columns)}"
        op.create_index(name, "documents", columns, sqlite_where=NO_TICKET, postgresql_where=NO_TICKET)
    op.add_column("queries", sa.Column("letters", sa.Integer(), nullable=False, server_default="0"))
    op.add_column("queries", sa.Column("expected_on", sa.Date(), nullable=True))
    op.add_column("queries", sa.Column("expected", sa.Text(), nullable=True))
    op.add_column("queries", sa.Column("promise", sa.Text(), nullable=True))
    _calls()
    _replies()
    _answers()
    _letters()
    op.execute("UPDATE queries SET letters = 1 WHERE letter_id IS NOT NULL")
    op.execute(
        "INSERT INTO letter_queries (letter_id, query_id, reminder) "
        "SELECT letter_id, id, 0 FROM queries WHERE letter_id IS NOT NULL"
    )


def _widen_documents() -> None:
    op.drop_constraint("ck_documents_kind", "documents")
    op.create_check_constraint("ck_documents_kind", "documents", KINDS)
    op.add_column("documents", sa.Column("way", sa.Text(), nullable=False, server_default="print"))
    op.add_column("documents", sa.Column("address", sa.Text(), nullable=False, server_default=""))
    op.add_column("documents", sa.Column("tried", sa.DateTime(), nullable=True))
    op.add_column("documents", sa.Column("tries", sa.Integer(), nullable=False, server_default="0"))
    op.create_check_constraint("ck_documents_way", "documents", WAYS)


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
        sa.CheckConstraint("(kind = 'ticket') = (job_id IS NOT NULL)", name="ck_documents_ticket_of_a_job"),
        sa.CheckConstraint("(state = 'failed') = (problem IS NOT NULL)", name="ck_documents_problem"),
        sa.CheckConstraint(KINDS, name="ck_documents_kind"),
        sa.CheckConstraint(WAYS, name="ck_documents_way"),
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
        "created_by, version"
    )
    op.execute(f"INSERT INTO documents_anew ({columns}) SELECT {columns} FROM documents")  # noqa: S608 - names above
    op.drop_table("documents")
    op.rename_table("documents_anew", "documents")
    op.create_index("ix_documents_state", "documents", ["state"], unique=False)


def _calls() -> None:
    op.create_table(
        "attempts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("practice_key", KEY, nullable=False),
        sa.Column("practice_name", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("outcome", sa.Text(), nullable=False),
        sa.Column("telephone", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("ring_back", sa.DateTime(), nullable=True),
        sa.Column("taken_back", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "outcome IN ('spoke', 'no-answer', 'engaged', 'message-left', 'ring-back', 'wrong-number')",
            name="ck_attempts_outcome",
        ),
        sa.PrimaryKeyConstraint("id", name="pk_attempts"),
    )
    op.create_index("ix_attempts_at", "attempts", ["at"], unique=False)
    op.create_index("ix_attempts_practice_key_at", "attempts", ["practice_key", "at"], unique=False)


def _replies() -> None:
    op.create_table(
        "replies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fingerprint", KEY, nullable=False),
        sa.Column("source_name", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("letter_id", sa.Integer(), nullable=True),
        sa.Column("practice_key", KEY, nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("problem", sa.Text(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.CheckConstraint("state IN ('waiting', 'taken', 'set-aside')", name="ck_replies_state"),
        sa.CheckConstraint(
            "kind IN ('form', 'flattened', 'scanned', 'altered', 'other-case', 'again', 'unreadable')",
            name="ck_replies_kind",
        ),
        sa.ForeignKeyConstraint(["letter_id"], ["documents.id"], name="fk_replies_letter_id"),
        sa.PrimaryKeyConstraint("id", name="pk_replies"),
        sa.UniqueConstraint("fingerprint", name="uq_replies_fingerprint"),
    )
    op.create_index("ix_replies_letter_id", "replies", ["letter_id"], unique=False)
    op.create_index("ix_replies_state", "replies", ["state"], unique=False)
    op.create_table(
        "reply_files",
        sa.Column("reply_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["reply_id"], ["replies.id"], name="fk_reply_files_reply_id"),
        sa.PrimaryKeyConstraint("reply_id", name="pk_reply_files"),
    )


def _answers() -> None:
    op.create_table(
        "answers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("query_id", sa.Integer(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("says", sa.Text(), nullable=False),
        sa.Column("written", sa.Text(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("speaker", sa.Text(), nullable=False),
        sa.Column("authority", sa.Text(), nullable=False),
        sa.Column("route", sa.Text(), nullable=False),
        sa.Column("counts", sa.Boolean(), nullable=False),
        sa.Column("spoken", sa.Boolean(), nullable=False),
        sa.Column("confirmed", sa.DateTime(), nullable=True),
        sa.Column("confirmed_how", sa.Text(), nullable=False),
        sa.Column("letter_id", sa.Integer(), nullable=True),
        sa.Column("reply_id", sa.Integer(), nullable=True),
        sa.Column("taken_back", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('value', 'usual', 'as-it-is', 'promise', 'ring-back', 'note')", name="ck_answers_kind"
        ),
        sa.CheckConstraint("authority IN ('prescriber', 'on-behalf', 'team')", name="ck_answers_authority"),
        sa.CheckConstraint(
            "route IN ('telephone', 'e-mail', 'letter', 'reply-form', 'in-person')", name="ck_answers_route"
        ),
        sa.ForeignKeyConstraint(["query_id"], ["queries.id"], name="fk_answers_query_id"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_answers_case_id"),
        sa.ForeignKeyConstraint(["letter_id"], ["documents.id"], name="fk_answers_letter_id"),
        sa.ForeignKeyConstraint(["reply_id"], ["replies.id"], name="fk_answers_reply_id"),
        sa.PrimaryKeyConstraint("id", name="pk_answers"),
    )
    op.create_index("ix_answers_case_id", "answers", ["case_id"], unique=False)
    op.create_index("ix_answers_query_id", "answers", ["query_id"], unique=False)
    op.create_index("ix_answers_spoken_confirmed", "answers", ["spoken", "confirmed"], unique=False)


def _letters() -> None:
    op.create_table(
        "letter_queries",
        sa.Column("letter_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("query_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("reminder", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["letter_id"], ["documents.id"], name="fk_letter_queries_letter_id"),
        sa.ForeignKeyConstraint(["query_id"], ["queries.id"], name="fk_letter_queries_query_id"),
        sa.PrimaryKeyConstraint("letter_id", "query_id", name="pk_letter_queries"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_letter_queries_query_id", "letter_queries", ["query_id"], unique=False)
    op.create_table(
        "letter_answers",
        sa.Column("letter_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("answer_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.ForeignKeyConstraint(["letter_id"], ["documents.id"], name="fk_letter_answers_letter_id"),
        sa.ForeignKeyConstraint(["answer_id"], ["answers.id"], name="fk_letter_answers_answer_id"),
        sa.PrimaryKeyConstraint("letter_id", "answer_id", name="pk_letter_answers"),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_letter_answers_answer_id", "letter_answers", ["answer_id"], unique=False)
