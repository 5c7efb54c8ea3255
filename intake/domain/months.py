"""Calendar months: the same day some months on."""

from calendar import monthrange
from datetime import date


def months_later(day: date, months: int) -> date:
    """The same day so many months later, or that month's last where it has no such day: 29 February, then 28."""
    count = day.month - 1 + months
    year, month = day.year + count // 12, count % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))
