"""The command line."""

from sitesim.cli.commands import app
from sitesim.cli.letters import write_every_letter

__all__ = ["app", "main"]


def main() -> None:
    """Run the command line."""
    write_every_letter()
    app()
