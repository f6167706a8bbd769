"""HTTP resources: one module for each, with its structures and handlers."""
