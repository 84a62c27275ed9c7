"""Publishing: what differs between the site and the place where it is served, sent there in an
order that a visitor never sees half done.

In: the site folder as it was built, `records.publishing`. Out: the place holds the site; what the
program did not put there stays. Engines are loaded when they are needed (`opening`).
"""
