"""Parameters (frozen) and laws (pure): hull, wind, water, engine, ground tackle, seabed, other boats."""
