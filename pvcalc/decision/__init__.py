"""Decision tables: conditions, what one document says of one patient, and its words."""
