"""What a database complains of, said in words the desk can act on. Translated once, at the engine."""

from sqlalchemy import Engine, event
from sqlalchemy.engine import ExceptionContext
from sqlalchemy.exc import DatabaseError, InternalError, OperationalError

from intake.errors import IntakeError


class StoreRefused(IntakeError):
    """The store cannot be opened, read or written for a reason that a person can put right."""


class StoreBusy(StoreRefused):
    """Another desk holds the store; the same thing can be done again in a moment."""


_SENTENCES: tuple[tuple[str, str], ...] = (
    ("file is not a database", "{where} is not an Intake data file. Choose another file, or restore a backup."),
    ("malformed", "{where} is damaged. Close Intake and restore the newest backup."),
    ("readonly database", "{where} cannot be written to. Check that the file and its folder are not read-only."),
    ("disk is full", "The disk of {where} is full; nothing was saved. Make room and do it again."),
    ("no space left", "The disk of {where} is full; nothing was saved. Make room and do it again."),
    ("could not extend file", "The disk of {where} is full; nothing was saved. Make room and do it again."),
    ("disk i/o error", "The disk of {where} could not be read or written. Check the disk, then do it again."),
    ("unable to open database", "{where} cannot be opened. Check that its folder is there and may be written to."),
    ("read-only transaction", "{where} takes no changes at present: the server is read-only."),
    ("password authentication failed", "{where} refuses the user name or the password. Check both in the setup."),
    ("does not exist", "{where} is not there: {detail}. Check the name in the setup."),
)
_BUSY = ("database is locked", "database table is locked", "lock timeout", "deadlock detected")
_UNREACHABLE = (
    "connection refused",
    "connection failed",
    "could not translate host",
    "timeout expired",
    "server closed the connection",
    "terminating connection",
    "connection is lost",
    "starting up",
    "shutting down",
)


def in_words(problem: str, where: str) -> IntakeError | None:
    """The sentence for a database's message, or None when it is not one that a person can put right."""
    said = problem.lower()
    if any(words in said for words in _BUSY):
        return StoreBusy(f"Another desk is writing to {where} just now; nothing was saved. Do it again in a moment.")
    for words, sentence in _SENTENCES:
        if words in said:
            detail = problem.strip().splitlines()[0].rpartition("FATAL:")[2].strip()
            return StoreRefused(sentence.format(where=where, detail=detail))
    if any(words in said for words in _UNREACHABLE):
        return StoreRefused(f"{where} cannot be reached; nothing was saved. Check the server and the network.")
    return None


def speak_plainly(engine: Engine, where: str) -> None:
    """From now on the engine raises an IntakeError wherever there is a sentence for what went wrong."""

    @event.listens_for(engine, "handle_error")
    def _translate(context: ExceptionContext) -> None:
        # Broken constraints and wrong SQL are bugs: they keep their own type and traceback.
        error = context.sqlalchemy_exception
        if isinstance(error, OperationalError | InternalError) or type(error) is DatabaseError:
            told = in_words(str(context.original_exception), where)
            if told is not None:
                raise told from context.original_exception
