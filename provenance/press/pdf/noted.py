"""What a paper carries for the program itself: a line or more of text that nobody sees.

In: the HTML of a paper and the text; later the bytes of the PDF. Out: HTML that carries it, and the
text again. It lies under a name of our own in the document information dictionary (ISO 32000-1,
14.3.3), where entries beyond the standard ones are allowed, in PDF/A-3 as well.
"""

from contextlib import closing
from html import escape

KEY = "printed"


def carrying(html: str, text: str) -> str:
    """A page with a text in quotes to carry; without text it stays as it is.

    Letters beyond ASCII are escaped as in YAML, so that they come back whatever the page does.
    """
    if not text:
        return html
    text = text.encode("ascii", "backslashreplace").decode()
    return html.replace("</head>", f'<meta name="{KEY}" content="{escape(text)}"></head>', 1)


def note_in(content: bytes) -> str:
    """The text that a PDF carries; nothing where it carries none that is text, or is no PDF."""
    import pypdfium2  # type: ignore[import-untyped]

    try:
        with closing(pypdfium2.PdfDocument(content)) as document:
            found = str(document.get_metadata_value(KEY))
            found.encode()  # half a letter is none
            return found
    except (pypdfium2.PdfiumError, UnicodeError):
        return ""
