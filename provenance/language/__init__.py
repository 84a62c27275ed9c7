"""Words and forms: every sentence of ours in every language, one folder a language.

In: a language, the studio's own phrases. Out: phrases by name, `Said` as words, numbers, dates,
money, masses and sizes in the forms of the language.
"""
