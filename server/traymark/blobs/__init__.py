"""Photos: files named by their hash, checked before they are kept (F8.5)."""
