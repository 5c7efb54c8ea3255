"""Messages with scans, and the surfaces that they bring, for the tests of what belongs together."""

from datetime import timedelta
from email.message import EmailMessage
from functools import cache

from intake.desk.receive import receive
from intake.desk.scan_checks import CheckHere, check_all
from tests.desk.desks import NOW
from tests.scans.arches import half, in_own_frames, pair
from tests.scans.writers import stl


class Once:
    """Checks as a command does, each surface once for all tests."""

    def __init__(self):
        self._known = {}

    def mesh(self, path, name, rules):
        return self._found((path.name, name), lambda: CheckHere().mesh(path, name, rules))

    def arches(self, upper, lower, bite):
        of = tuple((path.name, millimetres) for path, millimetres in filter(None, (upper, lower, bite)))
        return self._found(of, lambda: CheckHere().arches(upper, lower, bite))

    def close(self):
        """Nothing has to end: it checks in this process."""

    def _found(self, of, check):
        if of not in self._known:
            self._known[of] = check()
        return self._known[of]


HERE = Once()


@cache
def surfaces():
    """The arches of one patient by name, as STL: sound ones in one frame, and a lower of which half is missing."""
    arches, other = pair(2_000), pair(2_400)
    return {
        "upper": stl(arches.upper),
        "lower": stl(arches.lower),
        "half": stl(half(arches.lower)),
        "again": stl(other.lower),
        "unregistered": stl(in_own_frames(arches).lower),
    }


def message(folder, name, text, **meshes):
    """A message as a file: what it says, and for each jaw the surface that it brings: `message(..., upper="upper")`."""
    mail = EmailMessage()
    mail["From"], mail["Subject"], mail["Message-ID"] = "scans@example.com", name, f"<{name}@example.com>"
    mail.set_content(text)
    for jaw, surface in meshes.items():
        mail.add_attachment(surfaces()[surface], maintype="model", subtype="stl", filename=f"{jaw}.stl")
    file = folder / f"{name}.eml"
    file.write_bytes(mail.as_bytes())
    return file


def came(desk, folder, name, text, *, checked=True, **meshes):
    """A message that was taken in, and its scans looked at; its arrival."""
    (received,) = receive(desk, [message(folder, name, text, **meshes)])
    if checked:
        check_all(desk, HERE)
    return received.arrival_id


def later(days):
    """The clock so many days after the demo's day, for `replace(desk, now=...)`."""
    return lambda: NOW + timedelta(days=days)
