"""The core's judgement: what readings are worth, what they say of a span, when to come back."""
