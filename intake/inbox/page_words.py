"""The words of a page of HTML, for mails that hold no others. Nothing that the page points to is opened.

Python's own parser does the reading. Some pages make it take the square of their length, so it is handed pieces, and
what no reader shows is taken out before.
"""

import re
from collections.abc import Iterator
from html.parser import HTMLParser

MOST_IN_A_PAGE = 1_000_000
LONGEST_TAG = 20_000
LONGEST_LINK = 2_000
_PIECE = 8_192
_UNSEEN = re.compile(r"<!--|<(?:script|style|title|template)\b", re.IGNORECASE)
_ENDS = {
    "<!--": re.compile("-->"),
    **{f"<{tag}": re.compile(rf"</{tag}[^>]*>", re.IGNORECASE) for tag in ("script", "style", "title", "template")},
}
_PICTURE_IN_A_TAG = re.compile(r"(?<=[\"'(])data:[\w/+.;=-]*,[\w+/=%\s-]*")
_DECLARATION = re.compile("<[!?][^>]*>")
_LINES = frozenset((
    "address", "article", "aside", "blockquote", "body", "caption", "center", "dd", "div", "dl", "dt", "fieldset",
    "figcaption", "figure", "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main", "nav",
    "ol", "p", "pre", "section", "table", "tbody", "tfoot", "thead", "tr", "ul",
))  # fmt: skip
_CELLS = frozenset(("td", "th"))


def page_words(page: str) -> tuple[str, tuple[str, ...]]:
    """The words of a page and the addresses that it links to.

    A paragraph, a row of a table and an item of a list each begin a line, cells of a row stand apart by a tab, what
    is quoted stands behind “> ”, and a link is its words and its address: `the scans <https://example.com/1>`.
    """
    words = _Words()
    page = _seen(page[:MOST_IN_A_PAGE])
    for at in range(0, len(page), _PIECE):
        words.feed(page[at : at + _PIECE])
        if len(words.rawdata) > LONGEST_TAG:  # no tag is so long: it is damaged, or made to be read for minutes
            words.rawdata = ""
    words.close()
    return words.text(), tuple(words.links)


def _seen(page: str) -> str:
    """A page without comments, scripts, styles, pictures written into tags, and declarations."""
    page = "".join(_shown_pieces(page))
    whole, last, rest = page.rpartition(">")  # behind the last one no tag ends, and none is looked for
    return _DECLARATION.sub("", _PICTURE_IN_A_TAG.sub("", whole + last)) + rest.replace("<", "&lt;")


def _shown_pieces(page: str) -> Iterator[str]:
    at = 0
    while begin := _UNSEEN.search(page, at):
        yield page[at : begin.start()]
        end = _ENDS[begin[0].lower()].search(page, begin.end())
        if end is None:  # a browser shows nothing of the rest either
            return
        at = end.end()
    yield page[at:]


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.links: dict[str, None] = {}
        self._lines: list[str] = []
        self._line: list[str] = []
        self._quoted = 0
        self._as_written = 0
        self._link, self._linked = "", 0

    def text(self) -> str:
        self._break()
        return "\n".join(self._lines)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "br":
            self._break(even_if_empty=True)
        elif tag in _CELLS:
            self._line.append("\t")
        elif tag == "a":
            self._begin_link(dict(attrs).get("href") or "")
        elif tag in _LINES:
            self._break()
            self._quoted += tag == "blockquote"
            self._as_written += tag == "pre"
            if tag == "li":
                self._line.append("- ")

    def handle_endtag(self, tag: str) -> None:
        if tag == "a":
            self._end_link()
        elif tag in _LINES:
            self._break()
            self._quoted = max(0, self._quoted - (tag == "blockquote"))
            self._as_written = max(0, self._as_written - (tag == "pre"))

    def handle_data(self, data: str) -> None:
        if not self._as_written:
            self._line.append(re.sub(r"[ \t\r\n\f]+", " ", data))
            return
        first, *others = data.replace("\r\n", "\n").split("\n")
        self._line.append(first)
        for line in others:
            self._break(even_if_empty=True)
            self._line.append(line)

    def _break(self, *, even_if_empty: bool = False) -> None:
        self._end_link()
        line = re.sub(r" *\t[ \t]*", "\t", re.sub(" {2,}", " ", "".join(self._line))).strip()
        self._line = []
        if (line and line != "-") or even_if_empty:
            self._lines.append(f"{'>' * min(self._quoted, 9)} {line}" if self._quoted else line)

    def _begin_link(self, address: str) -> None:
        self._end_link()
        address = "".join(address.split())
        if re.match("https?://.", address, re.IGNORECASE) and len(address) <= LONGEST_LINK:
            self._link, self._linked = address, len(self._line)
            self.links[address] = None

    def _end_link(self) -> None:
        if not self._link:
            return
        words = "".join(self._line[self._linked :]).strip()
        address, self._link = self._link, ""
        if words != address:
            self._line.append(f" <{address}>" if words else f"<{address}>")
