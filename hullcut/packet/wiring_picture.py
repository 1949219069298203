"""One picture of what is wired to what."""
