#!/usr/bin/env bash
# Install a Chromium for the browser tests where there is none; of Debian's also the one without a window, of the same
# version, in which a page costs a third. Without that one the tests run in the first.
set -u
sudo=""
[ "$(id -u)" = 0 ] || sudo="sudo -n"
there() { for name in "$@"; do command -v "$name" >/dev/null && return; done; return 1; }
get() { DEBIAN_FRONTEND=noninteractive $sudo apt-get install -y -qq "$1" >/dev/null 2>&1; }
shell() { get "chromium-headless-shell=$(dpkg-query -W -f '${Version}' chromium 2>/dev/null)"; }

if there chromium chromium-browser google-chrome; then
  there chromium-headless-shell || ! there apt-get dpkg-query && exit 0
  # Only where apt knows nothing at all yet is it worth asking.
  apt-cache show bash >/dev/null 2>&1 || $sudo apt-get update -qq >/dev/null 2>&1
  shell
  exit 0
fi
if there apt-get && $sudo apt-get update -qq >/dev/null 2>&1 && get chromium; then
  shell
  exit 0
fi
echo "The browser tests need Chromium and it could not be installed; run: sudo apt-get install chromium" >&2
exit 1
