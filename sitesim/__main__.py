"""``python -m sitesim``, for where the command is not on the path."""

from sitesim.cli import main

if __name__ == "__main__":
    main()
