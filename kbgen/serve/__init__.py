"""The preview: a knowledge base as its author sees it while writing, on this machine only.

It is compiled again whenever a file changes, from the same store as every other command. Nothing it shows is an
edition: pages stand there with their errors, and each says so.
"""
