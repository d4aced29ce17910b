"""The server's edge: HTTP in, values of the inner modules out."""
