"""A secret key on paper: letters that a hand can copy, and the same as a code.

In: the key, the words of the studio's language, the sheet. Out: the bytes of a PDF, for its owner's
drawer alone. `letters.from_groups` reads it back.
"""

from datetime import date
from decimal import Decimal

from provenance.papers.format import Format
from provenance.press.codes.qr import code_of, mm
from provenance.press.pdf.render import render_pdf
from provenance.press.templates import render
from provenance.public.studio import PublicStudio
from provenance.seal.keys import SecretKey
from provenance.seal.letters import groups_of

_MODULE_MM = Decimal("0.7")


def key_paper(studio: PublicStudio, key: SecretKey, sheet: Format, on: date) -> bytes:
    """The paper."""
    say, groups = studio.phrases.say, groups_of(key.seed)
    code = code_of(" ".join(groups))
    words = {
        "title": say("key.paper_title", studio=studio.name),
        "what": say("key.paper_what", studio=studio.name),
        "back": say("key.paper_back"),
        "loss": say("key.paper_loss"),
        "code": say("key.paper_code"),
        "fingerprint": say("key.paper_fingerprint", key=key.public.fingerprint),
    }
    context = {
        "language": studio.phrases.language,
        "sheet": sheet.name,
        "words": words,
        "groups": groups,
        "code": mm(code, _MODULE_MM),
    }
    html = render("key/paper.html", context, studio.templates)
    return render_pdf(html, {"code.png": code}, archival=True, created=on)
