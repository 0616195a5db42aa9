"""What a writer of lessons asks for: what is wrong, which days, a lesson to start from."""
