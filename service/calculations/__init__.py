"""What a caller asks for: reference rows and core relations, step by step."""
