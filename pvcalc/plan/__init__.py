"""One patient through the whole handbook: inputs, numbers, then words."""
