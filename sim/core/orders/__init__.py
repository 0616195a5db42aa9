"""What can be ordered, and how an order is carried out."""
