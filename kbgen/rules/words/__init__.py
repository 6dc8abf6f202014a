"""What a text tells somebody to do, held against what the step's action says to the check."""
