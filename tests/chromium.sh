#!/usr/bin/env bash
# Install a Chromium for the browser tests where there is none.
set -u
for name in chromium chromium-browser google-chrome; do
  command -v "$name" >/dev/null && exit 0
done
sudo=""
[ "$(id -u)" = 0 ] || sudo="sudo -n"
if command -v apt-get >/dev/null && $sudo apt-get update -qq >/dev/null 2>&1 \
  && DEBIAN_FRONTEND=noninteractive $sudo apt-get install -y -qq chromium >/dev/null 2>&1; then
  exit 0
fi
echo "The browser tests need Chromium and it could not be installed; run: sudo apt-get install chromium" >&2
exit 1
