"""Plays a whole printed housing site many times and tells when it will be finished, and why."""

__version__ = "0.1.0"
