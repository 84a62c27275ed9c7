"""What lies where in a record folder: its folders, and the endings of record files."""

ENDINGS = (".yaml", ".yml")
OF_RECORDS = ("studio", "dyebook", "commissions", "shows")
FOLDERS = (*OF_RECORDS, "pages", "photos", "papers", "templates")
