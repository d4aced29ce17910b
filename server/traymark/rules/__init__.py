"""Pure rules: tables and records in, a decision out."""
