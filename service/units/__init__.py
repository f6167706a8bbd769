"""Quantities as callers write them, to canonical numbers and back."""
