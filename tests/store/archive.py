"""An archive: a store with years of jobs, in which somebody looks one up. It has what a look-up reads and nothing else.

Patients, practices and references are invented. Most jobs are finished; the newest are still to be made.
"""

import random
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

from intake.domain.case import Appliance, Case, Patient
from intake.domain.job_number import JobNumber
from intake.store import tables as t
from intake.store.folding import words_of, words_of_surname
from tests.store.many import PARTS
from tests.store.samples import DATES, NOW, a_practice, save_practices

TYPES = (
    ("occlusal-splint-hard", "splints", "Splints"),
    ("occlusal-splint-soft", "splints", "Splints"),
    ("vacuum-formed-retainer", "retainers", "Retainers"),
    ("wire-retainer", "retainers", "Retainers"),
    ("whitening-tray", "whitening", "Whitening"),
    ("sports-mouthguard", "mouthguards", "Mouthguards"),
    ("aligner-set", "aligners", "Aligners"),
    ("study-model", "models", "Models"),
    ("repair", "repairs", "Repairs"),
)
TYPE_WORDS = {
    "splint": (0, 1),
    "retainer": (2, 3),
    "whitening": (4,),
    "mouthguard": (5,),
    "aligners": (6,),
    "model": (7,),
    "repair": (8,),
}
"""Words of the lab, and which of the types above have them."""
KINDS = ("Dental", "Surgery", "House Dental", "Street Dental", "Orthodontics", "Dental Care")
A_DAY, TO_MAKE = 1000, 4000
"""Jobs that arrive on a working day, and the newest jobs, which are not finished."""
JOBS_OF_A_PRACTICE = 500
BATCH = 20_000


@dataclass(frozen=True)
class Archive:
    """What the archive was filled with, as columns: job `n` has the id `n + 1`."""

    practices: tuple[tuple[str, str], ...]
    """Code and name."""
    names: tuple[str, ...]
    practice: np.ndarray
    given: np.ndarray
    surname: np.ndarray
    style: np.ndarray
    """0: both names in full; 1: an initial and the surname; 2: initials only."""
    references: tuple[str, ...]
    type: np.ndarray
    days: np.ndarray
    """Days before the newest one."""
    numbers: tuple[str, ...]

    def label(self, n):
        """The patient's label."""
        given, surname = self.names[self.given[n]], self.names[self.surname[n]]
        return (f"{given} {surname}", f"{given[0]}. {surname}", f"{given[0]}.{surname[0]}.")[self.style[n]]

    def arrived(self, n):
        """The day on which it arrived."""
        return NOW.date() - timedelta(days=int(self.days[n]))


def invent(jobs, seed=1):
    """Makes up so many jobs."""
    chance, dice = random.Random(seed), np.random.default_rng(seed)
    names = tuple({"".join(chance.choices(PARTS, k=chance.choice((2, 2, 3)))).title() for _ in range(12_000)})
    names = tuple(sorted(names))
    practices = tuple(_practice(chance, names, n) for n in range(max(50, jobs // JOBS_OF_A_PRACTICE)))
    days = _days(jobs)
    return Archive(
        practices,
        names,
        dice.integers(len(practices), size=jobs),
        dice.choice(len(names), size=jobs, p=_frequent(len(names))),
        dice.choice(len(names), size=jobs, p=_frequent(len(names))),
        dice.choice(3, size=jobs, p=(0.6, 0.25, 0.15)),
        tuple(_reference(chance) for _ in range(jobs)),
        dice.integers(len(TYPES), size=jobs),
        days,
        _numbers(days),
    )


def _frequent(names):
    """How frequent each name is: few are had by many, as with people's names; the most frequent by one in a hundred."""
    weights = 1 / (np.random.default_rng(names).permutation(names) + 20)
    return weights / weights.sum()


def _practice(chance, names, n):
    one, other = chance.sample(names, 2)
    return f"{one[:5].upper()}{n}", f"{one} {chance.choice(KINDS)} {other}"


def _reference(chance):
    kind = chance.random()
    if kind < 0.2:
        return ""
    digits = chance.randrange(10_000, 99_999)
    return str(digits) if kind < 0.7 else f"{chance.choice('ABCDEHKMPRT')}{chance.choice('ACEHKLNS')} {digits}"


def _days(jobs):
    """For each job how many days ago it arrived: working days, the newest is today."""
    ago, day, left = [], NOW.date(), jobs
    while left > 0:
        if day.weekday() < 5:
            ago.append(((NOW.date() - day).days, min(A_DAY, left)))
            left -= A_DAY
        day -= timedelta(days=1)
    return np.concatenate([np.full(count, away) for away, count in reversed(ago)])


def _numbers(days):
    running, numbers = {}, []
    for away in days:
        year = (NOW.date() - timedelta(days=int(away))).year
        running[year] = running.get(year, 0) + 1
        numbers.append(JobNumber.make(year, running[year]).digits)
    return tuple(numbers)


def fill(store, archive):
    """Writes the archive into an empty store."""
    codes = [code for code, _ in archive.practices]
    save_practices(store, *(a_practice(code, name) for code, name in archive.practices))
    indexes = [index for table in (t.CaseTable, t.JobTable, t.CaseWordTable) for index in table.__table__.indexes]
    prescriptions = [_prescription(key) for key, _, _ in TYPES]
    with store.engine.begin() as connection:
        # Indexes are quicker made once, of everything.
        for index in indexes:
            index.drop(connection)
        for first in range(0, len(archive.numbers), BATCH):
            _write(connection, archive, range(first, min(first + BATCH, len(archive.numbers))), codes, prescriptions)
        for index in indexes:
            index.create(connection)
        if connection.dialect.name == "postgresql":
            connection.exec_driver_sql("ANALYZE")


def _prescription(appliance_type):
    case = Case(patient=Patient(label="A patient"), appliances=(Appliance(type=appliance_type, arch="upper"),))
    return case.model_dump_json()


def _write(connection, archive, numbers, codes, prescriptions):
    cases, jobs, words = [], [], []
    for n in numbers:
        label, reference = archive.label(n), archive.references[n]
        practice, kind = archive.practice[n], archive.type[n]
        prescriber = f"Dr {archive.names[(practice * 7) % len(archive.names)]}"
        arrived = datetime.combine(archive.arrived(n), NOW.time())
        leaves = archive.arrived(n) + timedelta(days=14)
        to_make = n >= len(archive.numbers) - TO_MAKE
        said = (label, reference, prescriber, codes[practice])
        cases.append((n + 1, f"old-{n}", *said, prescriptions[kind], "post" if n % 2 else "scan", arrived, arrived))
        state = ("held", "clear")[n % 2] if to_make else "gone"
        finished = None if to_make else arrived + timedelta(days=13)
        number, (_, category, name) = archive.numbers[n], TYPES[kind]
        jobs.append((n + 1, number, number[::-1], n + 1, category, name, state, leaves, leaves, finished))
        of_case = words_of(label) | words_of(reference) | words_of_surname(prescriber) | {f"@{TYPES[kind][0]}"}
        words += [(n + 1, word) for word in of_case]
    sign = "?" if connection.dialect.name == "sqlite" else "%s"
    for table, columns, rows in (
        (t.CaseTable, _CASE, _as_text(cases, connection)),
        (t.JobTable, _JOB, _as_text(jobs, connection)),
        (t.CaseWordTable, "case_id, word", words),
    ):
        fixed = _FIXED.get(table, {})
        names = ", ".join([columns, *fixed])
        values = ", ".join([sign] * (columns.count(",") + 1) + [f"'{value}'" for value in fixed.values()])
        insert = f"INSERT INTO {table.__tablename__} ({names}) VALUES ({values})"  # noqa: S608 - names above
        connection.exec_driver_sql(insert, rows)


_CASE = "id, token, patient_label, patient_reference, prescriber, practice_code, prescription, stream, arrived, booked"
_JOB = "id, number, backward, case_id, category, category_name, state, latest_start, must_leave, finished"
_FIXED = {
    t.CaseTable: {"state": "open", "practice_name": "", "hygiene": "unknown", "version": 1},
    t.JobTable: {
        "box_colour": "Blue",
        "box_hex": "#1f6fb4",
        "appliances": "[0]",
        "outlook": "comfortable",
        "deadlines": DATES.model_dump_json(),
        "version": 1,
    },
}


def _as_text(rows, connection):
    """Days and times as SQLite keeps them."""
    if connection.dialect.name != "sqlite":
        return rows
    return [tuple(_text(value) for value in row) for row in rows]


def _text(value):
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M:%S.%f")
    return value.isoformat() if isinstance(value, date) else value
