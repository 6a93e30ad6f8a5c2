"""The one family of errors that users can mend themselves."""

from __future__ import annotations


class UserError(Exception):
    """Bad input: its text says what is wrong and what would be right; the command ends with status 2."""
