"""Job numbers: one counter a year, in the same transaction as the job, so none is given twice and none is left out."""

from sqlalchemy import insert, update
from sqlalchemy.orm import Session

from intake.domain.job_number import JobNumber
from intake.store.tables import CounterTable


def next_number(session: Session, year: int) -> JobNumber:
    """The year's next number; it is given only if the transaction is kept."""
    name = f"jobs {year}"
    counting = update(CounterTable).where(CounterTable.name == name).values(value=CounterTable.value + 1)
    options = {"synchronize_session": False}
    running = session.execute(counting.returning(CounterTable.value), execution_options=options).scalar()
    if running is None:
        running = 1
        session.execute(insert(CounterTable).values(name=name, value=running))
    return JobNumber.make(year, running)
