"""Supporters: copies of a release for each of them, and what they send back.

Their names and addresses are personal data. They stand in the lists that the creator has, in the
copies, and in the private files beside these; nowhere else: no message, record or file name has
them, unless that is asked for.
"""
