"""What the page People asks of the desk, on the threads of the job runner."""

from typing import TYPE_CHECKING

from intake.domain.people import Person, Role

if TYPE_CHECKING:
    from intake.desk.desk import Desk


def everybody(desk: "Desk") -> "Desk":
    """The desk, knowing who works at it now."""
    from intake.desk.people import with_people

    return with_people(desk)


def enter(desk: "Desk", initials: str, name: str, role: Role) -> "Desk":
    """Enters somebody new."""
    from intake.desk.people import enter_person, with_people

    enter_person(desk, initials, name, role)
    return with_people(desk)


def change(desk: "Desk", person: Person) -> "Desk":
    """Changes what is known of somebody."""
    from intake.desk.people import change_person, with_people

    change_person(desk, person.initials, person.name, person.role, person.active)
    return with_people(desk)


def set_pin(desk: "Desk", initials: str, pin: str, again: str) -> "Desk":
    """Gives somebody a new PIN."""
    from intake.desk.people import set_pin, with_people

    set_pin(desk, initials, pin, again)
    return with_people(desk)
