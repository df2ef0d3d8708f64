"""What numbers let us say: shared round errors, creep, steps, and how sure."""
