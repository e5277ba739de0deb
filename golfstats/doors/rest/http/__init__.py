"""The manners of HTTP: who asks, how often, for which state, the same request twice, and how long one waits."""
