"""What may be said in public: the border between the maker's records and everybody else.

In: the worked-out studio. Out: frozen public facts; private fields have no name here.
"""
