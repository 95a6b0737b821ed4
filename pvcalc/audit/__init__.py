"""An audit file through the published definitions: rows, counts, then words."""
