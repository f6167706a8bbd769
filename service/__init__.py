"""Chain engineering as a stateless service."""

__version__ = "0.1.0"
