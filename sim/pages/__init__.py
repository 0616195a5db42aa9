"""Pages and pictures for paper and browser: the brief, the debrief, the chart."""
