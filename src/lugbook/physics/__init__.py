"""What copper, joints and instruments do to the numbers."""
