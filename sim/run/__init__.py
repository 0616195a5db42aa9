"""Running without a window: demonstrations, batches, measurements, pages."""
