#!/bin/sh
# Builds the edition of the last commit for the tablets. Its number is the second of that commit, so a later commit
# has a higher one, also the one that takes something back.
#   sh edition.sh [DIR]     without DIR: the folder edition beside this one
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$here/../edition}
SOURCE_DATE_EPOCH=$(git -C "$here" log -1 --format=%ct)
export SOURCE_DATE_EPOCH
if [ -n "$(git -C "$here" status --porcelain .)" ]; then
  echo "Commit first. Something here differs from the last commit, and both would have the same number." >&2
  exit 1
fi
kbgen check --kb "$here"
kbgen build --kb "$here" --out "$out"
kbgen verify "$out"
