"""Files in and out: what spreadsheets and meters write, read; tables, written."""
