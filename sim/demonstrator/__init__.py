"""A competent skipper who anchors by what a trainee can know, and the mistakes that can be made in his place."""
