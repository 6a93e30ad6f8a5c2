"""The sections of a scenario as checked models, one group a file."""
