"""HTTPS on the shop's own network: a local authority and a certificate for this host."""
