"""The server's edge: HTTP requests become calls of the inner modules."""
