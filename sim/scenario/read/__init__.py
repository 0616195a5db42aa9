"""From files to the plain data of a lesson."""
