"""What customers owe: invoices from the contract, payments, what settles what, and how old the rest is."""
