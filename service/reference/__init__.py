"""Published tables, each row with its source, checked when the service starts."""
