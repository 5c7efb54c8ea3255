"""Where the files are that come with the program: the one door to `resources/` and `demo/`."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource(*parts: str) -> Path:
    """The path of a shipped resource, such as `resource("fonts", "OFL.txt")`; in a checkout and in a wheel."""
    return _root("resources").joinpath(*parts)


def demo(*parts: str) -> Path:
    """The path of a file of the invented lab; in a checkout and in a wheel."""
    return _root("demo").joinpath(*parts)


def _root(name: str) -> Path:
    """The wheel carries `resources` as `intake/_resources`; a checkout has it beside the package."""
    installed = _PACKAGE / f"_{name}"
    return installed if installed.is_dir() else _PACKAGE.parent / name
