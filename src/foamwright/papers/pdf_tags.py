"""Tags of a PDF: what is text and what is drawing, sheet by sheet, so that its pages can be read out.

ISO 32000-1, 14.7 and 14.8: a structure tree of a document, a section for each sheet, a paragraph for each
line of text and one figure with words for all that is drawn; marks on the pages point to it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_LEVEL = 0.05
"""Millimetres within which two pieces of text stand on one line: a row of a table is one paragraph."""


class Tags:
    """The structure tree of one file, built while its pages are drawn."""

    def __init__(self, canvas: Canvas) -> None:
        from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName

        self._array, self._dictionary, self._name = PDFArray, PDFDictionary, PDFName
        self._file: Any = canvas._doc
        self._root = PDFDictionary({"Type": PDFName("StructTreeRoot")})
        self._document = PDFDictionary({"S": PDFName("Document"), "P": self._reference(self._root)})
        self._sections: list[Any] = []
        self._parents: list[Any] = []

    def page(self, canvas: Canvas, title: str) -> PageTags:
        """Return the tags of the page that is drawn next; its section is called `title`."""
        section = self._dictionary(
            {
                "S": self._name("Sect"),
                "P": self._reference(self._document),
                "T": self._text(title),
            }
        )
        self._sections.append(self._reference(section))
        return PageTags(self, canvas, section, title)

    def element(self, kind: str, parent: Any, page: Any, kids: list[int], words: str = "") -> Any:
        """Return a reference to a new element whose content is marked on one page."""
        keys = {
            "S": self._name(kind),
            "P": self._reference(parent),
            "Pg": self._reference(page),
            "K": kids[0] if len(kids) == 1 else self._array(kids),
        }
        if words:
            keys["Alt"] = self._text(words)
        return self._reference(self._dictionary(keys))

    def place(self, section: Any, elements: list[Any], page: Any) -> None:
        """Hang a page's elements (one for each mark; the figure several times) into its section."""
        section.dict["K"] = self._array(list({one.name: one for one in elements}.values()))
        # The library writes only keys of a page that it knows.
        page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents, page.Tabs = len(self._parents), self._name("S")
        self._parents.append(self._array(elements))

    def close(self) -> None:
        """Hang the tree into the file."""
        self._document.dict["K"] = self._array(self._sections)
        numbers = [entry for pair in enumerate(self._parents) for entry in pair]
        self._root.dict["K"] = self._array([self._reference(self._document)])
        self._root.dict["ParentTree"] = self._dictionary({"Nums": self._array(numbers)})
        self._root.dict["ParentTreeNextKey"] = len(self._parents)
        self._file.Catalog.StructTreeRoot = self._root
        self._file.Catalog.MarkInfo = self._dictionary({"Marked": "true"})

    def _text(self, words: str) -> Any:
        from reportlab.pdfbase.pdfdoc import PDFString

        return PDFString(words)

    def _reference(self, thing: Any) -> Any:
        return self._file.Reference(thing)


class PageTags:
    """Marks the content of one page; what is drawn is one figure, each line of text a paragraph."""

    def __init__(self, tags: Tags, canvas: Canvas, section: Any, title: str) -> None:
        self._tags, self._canvas, self._section, self._title = tags, canvas, section, title
        self._kinds: list[bool] = []
        self._open = ""
        self._line: float | None = None

    def drawn(self) -> None:
        """What follows is drawn."""
        if self._open != "Figure":
            self._begin("Figure")

    def lettered(self, line: float | None) -> None:
        """What follows is text on a line at a height; `None`: it goes askew and is a paragraph of its own."""
        same = line is not None and self._line is not None and abs(line - self._line) < _LEVEL
        if self._open != "P" or not same:
            self._begin("P")
        self._line = line

    def pause(self) -> None:
        """End what is open, before the state of the page is kept or given back."""
        if self._open:
            self._canvas.addLiteral("EMC")
        self._open, self._line = "", None

    def _begin(self, kind: str) -> None:
        self.pause()
        self._canvas.addLiteral(f"/{kind} <</MCID {len(self._kinds)}>> BDC")
        self._kinds.append(kind == "P")
        self._open = kind

    def close(self, page: Any) -> None:
        """Make elements of what was marked, once the library has made the page."""
        figure = [number for number, is_text in enumerate(self._kinds) if not is_text]
        drawn = self._tags.element("Figure", self._section, page, figure, self._title) if figure else None
        elements = [
            self._tags.element("P", self._section, page, [number]) if is_text else drawn
            for number, is_text in enumerate(self._kinds)
        ]
        self._tags.place(self._section, elements, page)
