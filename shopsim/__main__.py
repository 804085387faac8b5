"""`python -m shopsim` is the command line."""

import sys

from shopsim.cli import main

if __name__ == "__main__":
    sys.exit(main())
