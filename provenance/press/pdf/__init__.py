"""Papers as PDF: rendered by WeasyPrint, joined by pikepdf, their codes read by zxing-cpp."""
