"""The commands: one file each; parse, call, print, exit code.

In: words on the command line. Out: text for people, or stable JSON. Exit 0 well, 1 records need
mending, 2 wrong usage, 3 our own fault (with a log to send). Today's date enters here, once.
"""
