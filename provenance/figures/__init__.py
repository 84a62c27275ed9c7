"""What is worked out from the records: pure functions, exact numbers, each with its working.

In: frozen records and numbers. Out: figures and plain frozen results. No disk, no clock,
no globals; numpy only in `colour`.
"""
