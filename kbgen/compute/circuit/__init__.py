"""Control circuits that compute: what each point should read, what is wrong, where to measure next."""
