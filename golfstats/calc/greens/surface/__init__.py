"""The surface itself: kinds of green work, how disturbed it is, green speed, and what a disturbance costs a putt."""
