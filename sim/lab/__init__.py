"""The test rig, the sea trial, the speed figures: the model tried alone."""
