"""The seal: what is said of a piece as one signed statement, and how anyone checks it.

In: public facts, a key. Out: a W3C Verifiable Credential 2.0 with a Data Integrity proof
(`eddsa-jcs-2022`), a `did:web` document of the studio's keys, and a verdict on any such statement.
Nothing here asks a network or trusts a key because a statement names it.
"""
