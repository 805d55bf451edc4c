"""Stories of incidents: a whole flight, what was pressed, and every word the annunciator showed."""
