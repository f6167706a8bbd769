"""Small clients that really run against the service."""
