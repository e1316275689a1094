"""Issuing: a month's pack goes out, is put right if it must be, and is remembered.

`releasing` ties a release up, `reissuing` corrects one, `ledger` remembers both, and `year` looks
back over the ledger.
"""
