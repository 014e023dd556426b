"""What is to be drawn of a run: made once as a scene, painted in a page or on paper."""
