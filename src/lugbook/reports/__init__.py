"""Pictures of what was found."""
