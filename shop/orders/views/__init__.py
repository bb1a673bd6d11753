"""The pages over suppliers, orders and their lines, one file a concern."""
