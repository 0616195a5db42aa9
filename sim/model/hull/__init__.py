"""The hull in water and wind, her engine and her rudder."""
