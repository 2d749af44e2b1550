"""What the truck, the pull sheet, the shopping list and the price changes show; one module a question."""
