"""What a person does with the book: one job, one function, one transaction, one result."""
