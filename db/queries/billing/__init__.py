"""What screens, papers and books ask about invoices, payments and accounts."""
