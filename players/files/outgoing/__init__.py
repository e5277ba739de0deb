"""What people take along: tables as CSV, lines and Parquet."""
