"""What a typed number, size or time means, and how one is said."""
