"""Both databases for the tests: SQLite files, and a PostgreSQL server that the tests start for themselves.

Every store is a copy of an empty one, made once: a fresh one costs milliseconds.
"""

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from intake.store.opening import Store

_numbers = count(1)


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty SQLite store, to be copied."""
    from intake.store.opening import Store  # slow to import, and most tests need no store

    file = tmp_path_factory.mktemp("empty") / "intake.sqlite"
    Store.open(file).close()
    return file


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """The URL of a PostgreSQL server of our own, without a database's name."""
    programs = _programs()
    if programs is None:
        why = "PostgreSQL is not installed (Debian: apt install postgresql)"
        pytest.fail(why) if os.environ.get("CI") else pytest.skip(why)
    # The server's account must be able to reach the folder, which pytest's own folders do not allow.
    with tempfile.TemporaryDirectory(prefix="intake-postgres-", ignore_cleanup_errors=True) as folder:
        yield from _serve(programs, Path(folder))


@pytest.fixture(scope="session")
def empty_database(postgres_server: str) -> str:
    """The name of an empty PostgreSQL store, to be copied."""
    from intake.store.opening import Store  # slow to import, and most tests need no store

    _administer(postgres_server, "CREATE DATABASE intake_empty")
    Store.open(f"{postgres_server}/intake_empty").close()
    return "intake_empty"


@pytest.fixture
def sqlite_place(tmp_path: Path, empty_file: Path) -> str:
    """The path of a fresh SQLite store."""
    return str(shutil.copy(empty_file, tmp_path / "intake.sqlite"))


@pytest.fixture
def postgres_place(postgres_server: str, empty_database: str) -> Iterator[str]:
    """The URL of a fresh PostgreSQL store."""
    name = f"intake_{next(_numbers)}"
    _administer(postgres_server, f"CREATE DATABASE {name} TEMPLATE {empty_database}")
    yield f"{postgres_server}/{name}"
    _administer(postgres_server, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest) -> str:
    """A fresh store's path or URL, on each database in turn."""
    wanted = {"sqlite": "sqlite_place", "postgresql": "postgres_place"}
    return str(request.getfixturevalue(wanted[request.param]))


@pytest.fixture
def store(place: str) -> Iterator["Store"]:
    """A fresh open store, on each database in turn."""
    from intake.store.opening import Store  # slow to import, and most tests need no store

    opened = Store.open(place)
    yield opened
    opened.close()


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def another_store(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator["Callable[[], Store]"]:
    """Opens a fresh store that the tests of a module share, since they only read it; on each database in turn."""
    from intake.store.opening import Store  # slow to import, and most tests need no store

    with ExitStack() as closing:

        def open_one() -> Store:
            if request.param == "sqlite":
                file = tmp_path_factory.mktemp("shared") / "intake.sqlite"
                place = str(shutil.copy(request.getfixturevalue("empty_file"), file))
            else:
                server, empty = (request.getfixturevalue(name) for name in ("postgres_server", "empty_database"))
                name = f"intake_{next(_numbers)}"
                _administer(server, f"CREATE DATABASE {name} TEMPLATE {empty}")
                closing.callback(_administer, server, f"DROP DATABASE {name} WITH (FORCE)")
                place = f"{server}/{name}"
            store = Store.open(place)
            closing.callback(store.close)
            return store

        yield open_one


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A place where nothing is yet: a path without a file, a database without tables."""
    if request.param == "sqlite":
        yield str(tmp_path / "new.sqlite")
        return
    server, name = request.getfixturevalue("postgres_server"), f"intake_{next(_numbers)}"
    _administer(server, f"CREATE DATABASE {name}")
    yield f"{server}/{name}"
    _administer(server, f"DROP DATABASE {name} WITH (FORCE)")


def _programs() -> Path | None:
    """The folder of PostgreSQL's programs, the newest where there are several."""
    installed = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda folder: int(folder.parent.name))
    asked = shutil.which("pg_config")
    if asked:
        said = subprocess.run([asked, "--bindir"], capture_output=True, text=True, check=True).stdout
        installed.append(Path(said.strip()))
    usable = [folder for folder in installed if any(folder.glob("initdb*")) and any(folder.glob("postgres*"))]
    return usable[-1] if usable else None


def _serve(programs: Path, folder: Path) -> Iterator[str]:
    port, data = _free_port(), folder / "data"
    become = _as_server_account(folder)
    settings = f"-c listen_addresses=127.0.0.1 -c port={port} -c unix_socket_directories= -c fsync=off"

    def run(program: str, *words: object) -> None:
        # The server keeps what it inherits open: a pipe would never end.
        command = [*become, str(programs / program), "-D", str(data), *map(str, words)]
        subprocess.run(command, check=True, cwd=folder, stdout=subprocess.DEVNULL)

    run("initdb", "-U", "intake", "-A", "trust", "-E", "UTF8")
    run("pg_ctl", "-o", settings, "-l", folder / "log", "-w", "start")
    try:
        yield f"postgresql://intake@127.0.0.1:{port}"
    finally:
        run("pg_ctl", "-m", "immediate", "-w", "stop")


def _as_server_account(folder: Path) -> list[str]:
    """PostgreSQL refuses to run as root: then its own account runs it, which must own the folder."""
    if os.name != "posix" or os.geteuid() != 0:
        return []
    shutil.chown(folder, "postgres", "postgres")
    return ["runuser", "-u", "postgres", "--"]


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


def _administer(server: str, command: str) -> None:
    import psycopg  # not installed where only SQLite is tested

    with psycopg.connect(f"{server}/postgres", autocommit=True) as connection:
        connection.execute(command)
