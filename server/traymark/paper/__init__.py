"""Paper made from what the store holds."""
