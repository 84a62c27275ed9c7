"""Documents: records and figures in, bytes of papers, pictures and pages out; nothing is written.

Each foreign library has one door here: `pictures` (Pillow), `qr` (qrcode), `fonts` (fontTools),
`pdf` (WeasyPrint), `words` (Markdown, nh3) and `render` (Jinja2).
"""
