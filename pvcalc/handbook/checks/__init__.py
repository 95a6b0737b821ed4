"""What stops or qualifies an edition: lint, ledger, signatures, review dates, planted faults."""
