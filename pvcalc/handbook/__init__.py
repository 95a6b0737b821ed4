"""Build machinery of the handbook: authoring, generated pages, ledger, checks. CPython only."""
