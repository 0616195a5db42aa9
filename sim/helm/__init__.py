"""The exercise as a trainee meets it: instruments, foredeck crew, demonstrator."""
