"""What the bookkeeper asks: bills and payables, the ledger, miles, subcontractors, closing, corrections, ties."""
