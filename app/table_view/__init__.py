"""The board's data as a table: one line a visit, for reading, sorting, finding and copying."""
