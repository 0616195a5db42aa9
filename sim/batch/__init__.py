"""Many runs: trials, proofs, and how well errors are told apart."""
