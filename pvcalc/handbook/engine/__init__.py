"""The engine of the browser: its files, and the same engine under node."""
