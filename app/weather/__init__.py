"""The Weather view: the forecast as table and chart, edited, shifted, compared, fetched and tried on the plan."""
