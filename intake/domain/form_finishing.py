"""What the form puts in by itself when a field is left, always in sight and open to change."""

from collections.abc import Mapping

from intake.domain.form import FormRead
from intake.domain.form_lines import appliance_count, line_of, line_place, says_nothing, with_line_split, without_line
from intake.domain.form_practice import CODE


def finished(typed: Mapping[str, str], place: str, form: FormRead) -> dict[str, str]:
    """The form after a field was left.

    A practice that is clear becomes its code, and its only prescriber is put in where none was typed. The code of a new
    one is written out. A line that names several appliances becomes several lines; one that says nothing goes, as long
    as another is left.
    """
    line = line_of(place)
    if line is not None:
        return _finished_line(typed, line)
    if place == CODE and form.new_practice is not None:
        return {**typed, CODE: form.new_practice.code}
    if place != "practice" or form.practice is None:
        return dict(typed)
    whole = {**typed, "practice": form.practice.code}
    if not typed.get("prescriber", "").strip() and len(form.practice.prescribers) == 1:
        whole["prescriber"] = form.practice.prescribers[0]
    return whole


def _finished_line(typed: Mapping[str, str], line: int) -> dict[str, str]:
    if says_nothing(typed, line) and appliance_count(typed) > 1 and line_place(line) in typed:
        return without_line(typed, line)
    return with_line_split(typed, line)
