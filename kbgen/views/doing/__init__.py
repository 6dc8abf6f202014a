"""Step by step on a tablet: what a procedure's page ships so that a script can lead through it.

Everything that is decided is decided here, when the edition is built: which step follows which answer, what stands on
the plant at each, in which words, which reading is which. The script follows, holds numbers against limits, and keeps
what was done.
"""
