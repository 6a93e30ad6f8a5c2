"""Answers out of tables: dates and how sure they are, idle time, costs, what held the date, differences."""
