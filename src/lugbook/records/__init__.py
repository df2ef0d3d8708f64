"""The book: its tables, its ledger, the one writer and every question asked of it."""
