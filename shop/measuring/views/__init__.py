"""The reference pages, one file a concern."""
