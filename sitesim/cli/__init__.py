"""The command line."""

from sitesim.cli.commands import app

__all__ = ["app", "main"]


def main() -> None:
    """Run the command line."""
    app()
