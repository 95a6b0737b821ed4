"""What the build knows: the files of kb/_data and all that the shared modules declare."""
