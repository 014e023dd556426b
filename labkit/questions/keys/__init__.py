"""What is asked in lessons and exercises, and the answers: kept here, away from the notebooks."""
