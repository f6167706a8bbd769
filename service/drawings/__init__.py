"""Drawings from the results of geometry."""
