"""What a paper claims of itself: PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1) in its metadata.

In: WeasyPrint's own objects of a PDF, before they are written. Out: the same, as both standards
want them. In: a paper that was changed after it was written. Out: no claim that it is PDF/A, which
no step after the first sees to.
"""

import re
from typing import Any

TWO_ENDS = b"\r\nendstream"  # the end of a stream that ends with a carriage return
_UA = "http://www.aiim.org/pdfua/ns/id/"
_PDFA = "http://www.aiim.org/pdfa/ns/"
_CLAIM = re.compile(
    rb"<rdf:Description[^>]*pdfaid:part[^>]*/>|"
    rb"<rdf:Description[^>]*>\s*<pdfaid:part>.*?</rdf:Description>",
    re.DOTALL,
)
# PDF/A wants a description of every XMP property it does not define itself (ISO 19005-1, 6.7.8).
_UA_CLAIM = f"""
<rdf:Description rdf:about="" xmlns:pdfuaid="{_UA}"><pdfuaid:part>1</pdfuaid:part>
</rdf:Description><rdf:Description rdf:about="" xmlns:pdfaExtension="{_PDFA}extension/"
 xmlns:pdfaSchema="{_PDFA}schema#" xmlns:pdfaProperty="{_PDFA}property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>{_UA}</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description></rdf:RDF>""".encode()


def finish_plainly(document: Any, pdf: Any) -> None:
    """The same, with streams as they are whose compressed bytes end with a carriage return: a
    reader may take that for a part of the line's end after them (ISO 32000-1, 7.3.8.1)."""
    for thing in pdf.objects:
        if getattr(thing, "compress", False) and thing.data.endswith(TWO_ENDS):
            thing.compress = False
    finish(document, pdf)


def finish(_document: Any, pdf: Any) -> None:
    """What PDF/A and PDF/UA want and WeasyPrint leaves to its caller."""
    for thing in pdf.objects:
        about = getattr(thing, "extra", {})
        if about.get("Subtype") == "/Image":
            about["Interpolate"] = "false"
    if "AF" in pdf.catalog:
        once = dict.fromkeys(pdf.catalog["AF"])
        pdf.catalog["AF"].clear()
        pdf.catalog["AF"].extend(once)
    if "Metadata" in pdf.catalog:
        metadata = pdf.objects[int(pdf.catalog["Metadata"].split()[0])]
        metadata.stream[0] = metadata.stream[0].replace(b"</rdf:RDF>", _UA_CLAIM)
        metadata.compress = False  # to be found by programs that know nothing of PDF


def no_archive(document: Any) -> None:
    """Of pikepdf's document: PDF/A is claimed no more; that it is tagged (PDF/UA-1) stays."""
    about = document.Root.get("/Metadata")
    if about is not None:
        about.write(_CLAIM.sub(b"", about.read_bytes()))
