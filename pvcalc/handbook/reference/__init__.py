"""Pages that the build writes whole: one file a page, found by standing here."""
