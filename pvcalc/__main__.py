"""Entry point of `python -m pvcalc`."""

import sys

from pvcalc.handbook.cli.commands import main

sys.exit(main())
