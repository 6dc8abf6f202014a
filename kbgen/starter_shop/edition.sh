#!/bin/sh
# Builds the edition of the last commit for the tablets. Its number is the second of that commit, so a later commit
# has a higher one, also the one that takes something back.
#   sh edition.sh [DIR]     without DIR: the folder edition beside this one
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$(dirname "$here")/edition}
SOURCE_DATE_EPOCH=$(git -C "$here" log -1 --format=%ct)
export SOURCE_DATE_EPOCH
if [ -n "$(git -C "$here" status --porcelain .)" ]; then
  echo "Commit first. Something here differs from the last commit, and both would have the same number." >&2
  exit 1
fi
if [ "$(git -C "$here" log --format=%ct | sort -n | tail -n 1)" -gt "$SOURCE_DATE_EPOCH" ]; then
  echo "An earlier commit is dated later than the last one, so tablets would refuse this edition." >&2
  echo "One computer's clock was wrong. Set the clocks, then commit once more." >&2
  exit 1
fi
kbgen check --kb "$here"
kbgen build --kb "$here" --out "$out"
kbgen verify "$out"
