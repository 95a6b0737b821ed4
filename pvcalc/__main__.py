"""Entry point of `python -m pvcalc`."""

import sys

from pvcalc.handbook.cli import main

sys.exit(main())
