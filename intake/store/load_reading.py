"""What is read of jobs that benches still have to work."""

import json
from collections.abc import Collection
from datetime import date
from typing import Any

from sqlalchemy import Text, func, literal_column, select, type_coerce
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.compiler import SQLCompiler
from sqlalchemy.sql.functions import FunctionElement

from intake.store.load_rows import LoadJobRow, OpenJobs, RouteDates
from intake.store.selecting import Selecting, parts
from intake.store.selects import PRACTICE_NAME
from intake.store.tables import CaseTable, JobTable, PracticeTable


class LoadReading(Selecting):
    """Open jobs for the load of the benches."""

    def open_jobs(self) -> tuple[OpenJobs, ...]:
        """The jobs with dates that are neither finished nor withdrawn; those that are alike together."""
        rows = [*self._all(_AT_RECEPTION), *self._all(_ON_THEIR_WAY)]
        dates = {text: _dates(text) for text in {row[0] for row in rows}}
        return tuple(
            OpenJobs(dates[text], state, bench, bool(moved), tuple(numbers.split()))
            for text, state, bench, moved, numbers in rows
        )

    def load_jobs(self, numbers: Collection[str]) -> dict[str, LoadJobRow]:
        """Jobs by their numbers, as lists of the load show them."""
        rows: dict[str, LoadJobRow] = {}
        ordered = sorted(set(numbers))
        for part in parts(range(len(ordered))):
            found = _LISTED.where(JobTable.number.in_([ordered[at] for at in part]))
            rows |= {row.number: row for row in map(LoadJobRow._make, self._all(found))}
        return rows


class up_to(FunctionElement[str]):  # noqa: N801 - a function of the database
    """A text up to where a mark begins in it; either database counts that place, each by its own word."""

    inherit_cache = True
    type = Text()


@compiles(up_to, "sqlite")
def _up_to_sqlite(element: up_to, compiler: SQLCompiler, **said: Any) -> str:
    text, mark = (compiler.process(part, **said) for part in element.clauses)
    return f"substr({text}, 1, instr({text}, {mark}) - 1)"


@compiles(up_to, "postgresql")
def _up_to_postgresql(element: up_to, compiler: SQLCompiler, **said: Any) -> str:
    text, mark = (compiler.process(part, **said) for part in element.clauses)
    return f"substr({text}, 1, strpos({text}, {mark}) - 1)"


# Thousands of jobs share a few routes with their dates: the database puts them together.
_TEXT = up_to(type_coerce(JobTable.deadlines, Text), literal_column("""',"must_leave":"'""")).label("dates")
_MOVED = JobTable.moved.is_not(None).label("was_moved")
_ALIKE = (
    select(_TEXT, JobTable.state, JobTable.bench, _MOVED, func.aggregate_strings(JobTable.number, " "))
    .where(JobTable.finished.is_(None), JobTable.deadlines.is_not(None))
    .group_by(_TEXT, JobTable.state, JobTable.bench, _MOVED)
)
_AT_RECEPTION = _ALIKE.where(JobTable.state.in_(("held", "clear")), JobTable.bench.is_(None))
# Few of the jobs that were ever handed over are still on their way: those have a bench, which is found by its index.
_ON_THEIR_WAY = _ALIKE.join(CaseTable, CaseTable.id == JobTable.case_id).where(
    JobTable.bench > "", CaseTable.state == "open", JobTable.state != "withdrawn"
)
_LISTED = (
    select(
        JobTable.id,
        JobTable.number,
        JobTable.state,
        JobTable.category_name,
        JobTable.box_colour,
        JobTable.box_hex,
        PRACTICE_NAME,
        CaseTable.patient_label,
        CaseTable.patient_reference,
        JobTable.must_leave,
        JobTable.bench,
    )
    .join(CaseTable, CaseTable.id == JobTable.case_id)
    .outerjoin(PracticeTable, PracticeTable.code == CaseTable.practice_code)
)


def _dates(text: str) -> RouteDates:
    """What counts of deadlines, from their text up to what follows: the route, the start and the latest start."""
    told = json.loads(f"{text}}}")
    route = tuple((step["bench"], date.fromisoformat(step["by"])) for step in told["route"])
    return RouteDates(route, date.fromisoformat(told["start"]), date.fromisoformat(told["latest_start"]))
