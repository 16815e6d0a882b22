"""Lets ``python -m tubecalc`` do what the ``tubecalc`` command does."""

import sys

from tubecalc.cli import main

if __name__ == "__main__":
    sys.exit(main())
