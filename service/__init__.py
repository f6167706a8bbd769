"""Chain engineering as a stateless service."""
