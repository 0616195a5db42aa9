"""Units, frames, seeded streams, errors and the kernel decorator: what every other room stands on."""
