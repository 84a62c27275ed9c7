"""Tables of a spreadsheet: text in any usual encoding, or a workbook."""
