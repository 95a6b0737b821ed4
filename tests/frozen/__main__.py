"""`python -m tests.frozen`: take the handbook's values of today as those the tests compute with."""

from tests import frozen

frozen.write()
